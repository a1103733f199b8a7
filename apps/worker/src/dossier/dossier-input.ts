/** Gathers what goes into one dossier. */
import {
  type Archive,
  type ConditionRow,
  conditionView,
  type DossierRow,
  deriveJobId,
  type FindingRow,
  findingView,
  gatherRecord,
  gaugesOf,
  getNet,
  type InterventionRow,
  interventionView,
  type MediaRow,
  mediaViews,
  type NetRevisionRow,
  newestSeen,
  newestTimeToken,
  RECORD_KINDS,
  type SiteRow,
  subjectsAt,
  type WithdrawnObjectRow,
  withCosignatures,
  without,
} from '#libs/archive';
import { type DossierFile, type DossierInput, type DossierObject } from '#libs/dossier';
import {
  canonicalText,
  type EntryRef,
  entryName,
  formatVerifierKey,
  parseEntry,
  verifierKey,
} from '#libs/ledger';
import { fileForm, parseMark, type Scheme } from '#libs/marks';
import { netDxf, netSvg, scheduleCsv } from '#libs/net';
import { netPdf, recordPdf } from '#libs/print';
import { type MullionRecord, recordHtml, recordJson } from '#libs/records';
import { closedEpochs } from './closed-epochs.js';
import { isGivenTo, isWithin } from './given-entries.js';
import { referencedLeaves } from './referenced-leaves.js';

const PROGRAM = 'mullion 0.1.0';

interface LogPart {
  readonly logId: string;
  readonly size: number;
}

interface Scope {
  readonly archive: Archive;
  readonly row: DossierRow;
  readonly site: SiteRow;
  /** of each epoch in their order; the last holds the asking */
  readonly logs: readonly LogPart[];
  readonly isKeepers: boolean;
}

/** @param onRatio told how far gathering is, 0 to 1 */
export async function dossierInput(
  archive: Archive,
  row: DossierRow,
  onRatio: (ratio: number) => void,
): Promise<DossierInput> {
  const { reads } = archive;
  const signer = await archive.signerInForce();
  const site = (await reads.first<SiteRow>('SELECT * FROM site WHERE site_id = $1', [row.siteId]))!;
  const head = await closingHead(archive, row);
  const closed = await closedEpochs(reads, row.siteId, head.epoch, signer.publicKey);
  const log = { logId: head.logId, origin: head.origin };
  const seen = await newestSeen(reads, log, head.size);
  const time = await newestTimeToken(reads, log, head.size);
  const scope: Scope = {
    archive,
    row,
    site,
    logs: [...closed, head],
    isKeepers: row.kind === 'keepers',
  };
  const place = fileForm(parseMark(row.subject, site.scheme as Scheme));
  const { objects, refs: givenRefs } = await namedByEntries(scope);
  onRatio(0.3);
  const pictures = await pictureFiles(scope);
  const files = [
    ...(await recordFiles(scope, place)),
    ...(await netFiles(scope)),
    ...pictures,
    ...(await dataFiles(scope)),
  ];
  onRatio(1);
  return {
    kind: scope.isKeepers ? 'keepers' : 'handed-out',
    bagName: `${place}-${row.kind}`,
    subject: row.subject,
    archive: `mullion/${archive.archiveId}`,
    signer,
    about: { title: `${row.subject}, ${site.name}`, studio: '' },
    madeAt: row.askedAt.toISOString(),
    program: PROGRAM,
    logs: [
      ...closed.map((part) => ({
        checkpointNote: part.note,
        key: part.key,
        entries: () => entries(scope, part),
      })),
      {
        checkpointNote: await withCosignatures(reads, head),
        ...(seen !== undefined && seen.size < head.size && { seenNote: seen.note }),
        ...(time !== undefined && {
          time: { stampedNote: time.note, token: new Uint8Array(time.token) },
        }),
        key: formatVerifierKey(verifierKey(head.origin, signer.publicKey)),
        entries: () => entries(scope, head),
      },
    ],
    files,
    objects,
    references: await referencedLeaves(archive.reads, givenRefs, scope),
  };
}

interface ClosingHead extends LogPart {
  readonly epoch: number;
  readonly note: string;
  readonly origin: string;
}

/**
 * The first head signed by the key in force that holds the asking entry: the same one whenever the job
 * runs, and by the key that seals the dossier.
 */
export async function closingHead({ reads }: Archive, row: DossierRow): Promise<ClosingHead> {
  const head = await reads.first<ClosingHead>(
    `SELECT l.log_id, l.epoch, c.size, c.note, l.origin
     FROM entry e JOIN checkpoint c ON c.log_id = e.log_id AND c.size > e.seq
     JOIN log l ON l.log_id = e.log_id
       AND c.size > coalesce((SELECT max(k.seq) FROM key_event k
                              WHERE k.log_id = e.log_id AND k.kind = 'change'), -1)
     WHERE l.site_id = $1::uuid AND e.type = 'dossier.ask' AND e.subject = $2
       AND convert_from(e.bytes, 'UTF8')::jsonb -> 'payload' ->> 'dossierId' = $3
     ORDER BY c.size LIMIT 1`,
    [row.siteId, row.subject, row.dossierId],
  );
  if (head === undefined)
    throw new Error(`no checkpoint holds the asking of dossier ${row.dossierId}`);
  return head;
}

const ENTRIES_AT_ONCE = 500;

interface StoredEntry {
  seq: number;
  type: string;
  subject: string | null;
  bytes: Buffer;
  leafHash: Buffer;
}

async function* stored({ archive }: Scope, log: LogPart): AsyncGenerator<StoredEntry> {
  for (let from = 0; from < log.size; from += ENTRIES_AT_ONCE) {
    yield* await archive.reads.query<StoredEntry>(
      `SELECT seq, type, subject, bytes, leaf_hash FROM entry
       WHERE log_id = $1 AND seq >= $2 AND seq < $3 ORDER BY seq`,
      [log.logId, from, Math.min(log.size, from + ENTRIES_AT_ONCE)],
    );
  }
}

async function* entries(
  scope: Scope,
  log: LogPart,
): AsyncGenerator<{ bytes: Uint8Array } | { leafHash: Uint8Array }> {
  for await (const entry of stored(scope, log)) {
    yield isGiven(entry, scope)
      ? { bytes: new Uint8Array(entry.bytes) }
      : { leafHash: new Uint8Array(entry.leafHash) };
  }
}

const isGiven = (entry: StoredEntry, { isKeepers, row }: Scope): boolean =>
  isGivenTo(entry, { isKeepers, subject: row.subject });

/** Folder and ending under which objects lie, by what they are to their entry. */
const PLACES: Readonly<Record<string, { folder: string; ending: string }>> = {
  net: { folder: 'nets', ending: '.json' },
  drawing: { folder: 'drawings', ending: '.json' },
  geometry: { folder: 'geometry', ending: '.json' },
  rectified: { folder: 'rectified', ending: '.jpg' },
  pictures: { folder: 'rubbings', ending: '.json' },
  placements: { folder: 'placements', ending: '.json' },
  cartoon: { folder: 'cartoons', ending: '' },
  repairs: { folder: 'cartoons', ending: '.json' },
  readings: { folder: 'bulges', ending: '.json' },
  survey: { folder: 'surveys', ending: '.json' },
};

/** What given entries name: objects, and leaves of other logs. */
async function namedByEntries(
  scope: Scope,
): Promise<{ objects: DossierObject[]; refs: EntryRef[] }> {
  const roles = new Map<string, string>();
  const refs = new Map<string, EntryRef>();
  for (const log of scope.logs) {
    for await (const stands of stored(scope, log)) {
      if (!isGiven(stands, scope)) continue;
      const entry = parseEntry(new Uint8Array(stands.bytes));
      for (const { digest, role } of entry.objects) {
        if (!roles.has(digest)) roles.set(digest, role);
      }
      for (const ref of entry.refs) refs.set(`${ref.index} ${ref.origin}`, ref);
    }
  }
  return { objects: await namedObjects(scope, roles), refs: [...refs.values()] };
}

async function namedObjects(
  scope: Scope,
  roles: ReadonlyMap<string, string>,
): Promise<DossierObject[]> {
  const { archive, isKeepers } = scope;
  const sizes = await archive.reads.query<{ digest: string; sizeBytes: number }>(
    'SELECT digest, size_bytes FROM stored_object WHERE digest = ANY($1) ORDER BY digest',
    [[...roles.keys()]],
  );
  const names = await originalNames(scope);
  const withdrawn = await withdrawnAmong(scope, [...roles.keys()]);
  return sizes.map(({ digest, sizeBytes }): DossierObject => {
    const role = roles.get(digest)!;
    const known = { digest, sizeBytes, role };
    const short = digest.slice('sha256:'.length, 'sha256:'.length + 16);
    const tombstone = withdrawn.get(digest);
    if (tombstone !== undefined) return { ...known, state: 'withdrawn', reason: tombstone };
    if (role === 'dossier') {
      return { ...known, state: 'listed-only', reason: 'an earlier dossier' };
    }
    if (role === 'original' && !isKeepers) {
      return { ...known, state: 'listed-only', reason: 'originals stay with the keeper' };
    }
    const { folder, ending } = PLACES[role] ?? { folder: 'originals', ending: '' };
    const name = role === 'original' ? names.get(digest) : undefined;
    return {
      ...known,
      state: 'present',
      path: `${folder}/${short}${name === undefined ? ending : `-${name}`}`,
      ...(name === undefined ? {} : { title: name }),
      open: () => archive.objects.read(digest),
    };
  });
}

/** Why each object that is gone is gone, by digest. */
async function withdrawnAmong(
  { archive }: Scope,
  digests: readonly string[],
): Promise<Map<string, string>> {
  const rows = await archive.reads.query<WithdrawnObjectRow>(
    'SELECT * FROM withdrawn_object WHERE digest = ANY($1)',
    [digests],
  );
  return new Map(rows.map((row) => [row.digest, `${row.reason} (${entryName(Number(row.seq))})`]));
}

/** File names made safe for any file system, by digest. */
async function originalNames({ archive, row }: Scope): Promise<Map<string, string>> {
  const rows = await archive.reads.query<{ digest: string; fileName: string }>(
    'SELECT digest, file_name FROM media WHERE site_id = $1 ORDER BY entry_seq DESC',
    [row.siteId],
  );
  return new Map(
    rows.map(({ digest, fileName }) => [
      digest,
      fileName
        .normalize('NFKD')
        .replace(/[^A-Za-z0-9._-]+/g, '-')
        .replace(/^[.-]+/, '')
        .slice(-80) || 'file',
    ]),
  );
}

/** Condition and treatment record for people and for programs. */
async function recordFiles(
  { archive, row, isKeepers }: Scope,
  place: string,
): Promise<DossierFile[]> {
  const files: DossierFile[] = [];
  for (const kind of RECORD_KINDS) {
    const gathered = await gatherRecord(archive, kind, row.siteId, row.subject);
    const record: MullionRecord =
      gathered.kind === 'condition' && !isKeepers ? { ...gathered, location: null } : gathered;
    const name = `records/${place}-${kind}`;
    const title = `${row.subject}, ${kind} record`;
    files.push(
      inMemory(`${name}.html`, recordHtml(record), `${title} (web page)`),
      inMemory(`${name}.pdf`, await recordPdf(record), `${title} (PDF)`),
      inMemory(`${name}.json`, recordJson(record), `${title} (JSON)`),
    );
  }
  return files;
}

/** Lead drawings as files for the bench and for other programs, newest and signed revisions. */
async function netFiles({ archive, row, site }: Scope): Promise<DossierFile[]> {
  const rows = await archive.reads.query<NetRevisionRow & { mark: string }>(
    `SELECT n.*, s.code || CASE WHEN coalesce(s.unit, '') = '' THEN '' ELSE ':' || s.unit END
            || '.' || w.mark || '.' || p.mark AS mark
     FROM net_revision n JOIN panel p ON p.panel_id = n.panel_id
     JOIN "window" w ON w.window_id = p.window_id JOIN site s ON s.site_id = n.site_id
     WHERE n.site_id = $1 AND (n.revision = p.net_revision OR n.revision = p.signed_revision)
     ORDER BY w.sort_key, p.sort_key, n.revision`,
    [row.siteId],
  );
  const gauges = await gaugesOf(
    archive.reads,
    rows.map(({ panelId }) => panelId),
  );
  const files: DossierFile[] = [];
  for (const one of rows.filter(
    ({ mark }) => isWithin(mark, row.subject) || isWithin(row.subject, mark),
  )) {
    const { mark, revision } = one;
    const net = await getNet(archive.objects, one.objectDigest);
    const name = `lead-drawings/${fileForm(parseMark(mark, site.scheme as Scheme))}-r${revision}`;
    const title = `${mark}, lead drawing, revision ${revision}`;
    files.push(
      inMemory(`${name}.svg`, netSvg(net, { title }), `${title} (SVG, 1:1)`),
      inMemory(`${name}.dxf`, netDxf(net), `${title} (DXF)`),
      inMemory(
        `${name}.csv`,
        scheduleCsv(net, { gauged: gauges.get(one.panelId) ?? [] }),
        `${title}: came list`,
      ),
      inMemory(
        `${name}.pdf`,
        await netPdf(net, { mark, revision }),
        `${title} (PDF, print at 100 %)`,
      ),
    );
  }
  return files;
}

async function mediaOf({ archive, row }: Scope): Promise<MediaRow[]> {
  return archive.reads.query<MediaRow>(
    `SELECT * FROM media WHERE site_id = $1
       AND ${subjectsAt('$2')}
     ORDER BY entry_seq`,
    [row.siteId, row.subject],
  );
}

const PREVIEW_WAIT_MS = 120_000;
const PREVIEW_LOOK_MS = 500;

/** A picture that was taken in a moment ago is still being derived: wait for it, within reason. */
async function waitForPreviews({ archive }: Scope, rows: readonly MediaRow[]): Promise<void> {
  const jobIds = rows.map((media) => deriveJobId(media.mediaId));
  for (const end = Date.now() + PREVIEW_WAIT_MS; Date.now() < end; ) {
    const open = await archive.reads.first(
      `SELECT 1 FROM job_progress WHERE job_id = ANY($1) AND state IN ('waiting', 'running') LIMIT 1`,
      [jobIds],
    );
    if (open === undefined) return;
    await new Promise((resolve) => setTimeout(resolve, PREVIEW_LOOK_MS));
  }
}

/** Previews: made anew from the pixels, they hold no place and no serial number. */
async function pictureFiles(scope: Scope): Promise<DossierFile[]> {
  const { archive } = scope;
  const rows = await mediaOf(scope);
  await waitForPreviews(scope, rows);
  const previews = await archive.reads.query<{ sourceDigest: string; digest: string }>(
    `SELECT source_digest, digest FROM derivative WHERE kind = 'preview' AND source_digest = ANY($1)`,
    [rows.map((media) => media.digest)],
  );
  const byDigest = new Map(previews.map((preview) => [preview.sourceDigest, preview.digest]));
  return rows.flatMap((media) => {
    const digest = byDigest.get(media.digest);
    if (digest === undefined) return [];
    return [
      {
        path: `pictures/${media.mediaId}.jpg`,
        title: `${media.fileName}: ${media.kind}, ${media.stage}`,
        open: () => archive.objects.read(digest),
      },
    ];
  });
}

/** Findings, interventions and what is said of the pictures, for programs. */
async function dataFiles(scope: Scope): Promise<DossierFile[]> {
  const { archive, row } = scope;
  const findings = await archive.reads.query<FindingRow & { mark: string }>(
    `SELECT f.*, s.code || CASE WHEN coalesce(s.unit, '') = '' THEN '' ELSE ':' || s.unit END
            || '.' || w.mark || '.' || p.mark || coalesce('.' || f.in_panel, '') AS mark
     FROM finding f JOIN panel p ON p.panel_id = f.panel_id
     JOIN "window" w ON w.window_id = p.window_id JOIN site s ON s.site_id = f.site_id
     WHERE f.site_id = $1 ORDER BY f.entry_seq`,
    [row.siteId],
  );
  const conditions = await archive.reads.query<ConditionRow & { mark: string }>(
    `SELECT c.*, s.code || CASE WHEN coalesce(s.unit, '') = '' THEN '' ELSE ':' || s.unit END
            || '.' || w.mark || '.' || p.mark AS mark
     FROM condition c JOIN panel p ON p.panel_id = c.panel_id
     JOIN "window" w ON w.window_id = p.window_id JOIN site s ON s.site_id = c.site_id
     WHERE c.site_id = $1 ORDER BY c.entry_seq`,
    [row.siteId],
  );
  const interventions = await archive.reads.query<InterventionRow>(
    `SELECT * FROM intervention WHERE site_id = $1
       AND ${subjectsAt('$2')}
     ORDER BY entry_seq`,
    [row.siteId, row.subject],
  );
  const media = await mediaViews(archive.reads, await mediaOf(scope));
  return [
    inMemory(
      'lists/findings.json',
      canonicalText(
        findings
          .filter(({ mark }) => isWithin(mark, row.subject))
          .map(({ mark, ...finding }) => ({ mark, ...findingView(finding) })),
      ),
      'Findings (JSON)',
    ),
    inMemory(
      'lists/interventions.json',
      canonicalText(interventions.map(interventionView)),
      'Interventions (JSON)',
    ),
    inMemory(
      'lists/conditions.json',
      canonicalText(
        conditions
          .filter(({ mark }) => isWithin(mark, row.subject))
          .map(({ mark, ...condition }) => ({ mark, ...conditionView(condition) })),
      ),
      'Condition classes (JSON)',
    ),
    inMemory(
      'lists/pictures.json',
      // whether a pyramid is ready is the server's affair, and may change between two runs
      canonicalText(media.map((one) => without(one, 'pyramid'))),
      'What is said of the pictures (JSON)',
    ),
  ];
}

function inMemory(path: string, content: string | Uint8Array, title: string): DossierFile {
  const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
  return { path, title, open: () => [bytes] };
}
