/**
 * Writes a dossier: a BagIt 1.0 bag, sealed with the archive key, in one zip file.
 *
 * Every source is read twice: once for its digests, which stand in the manifests and in front of
 * the bytes, once to copy it. Identical input gives identical bytes: nothing is taken from clock,
 * machine or order of arrival. What would not verify is refused here, before it leaves the house.
 */

import { Readable, type Writable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import {
  type Entry,
  fingerprintOf,
  formatVerifierKey,
  LeafList,
  LogCheck,
  leafHash,
  leafListLine,
  parseEntry,
  signNote,
  verifierKey,
} from '#libs/ledger';
import { aboutPage } from './about-page.js';
import {
  ABOUT_HTML,
  ALGORITHMS,
  BAGIT_TXT,
  bagInfoText,
  DOSSIER_VERSION,
  type DossierKind,
  LEDGER_DIR,
  LOG_EXTRA_FILES,
  LOG_FILES,
  logFolder,
  OBJECTS_JSON,
  SEAL_TXT,
  VERIFY_HTML,
} from './bag-layout.js';
import { comparePaths, pathKey, pathProblem } from './bag-path.js';
import { digestsOf, type FileDigests } from './digests.js';
import { DossierError } from './dossier-error.js';
import { LineBatch } from './lines.js';
import { manifestText } from './manifest.js';
import { nodeHashing } from './node-digests.js';
import { type ListedObject, objectListBytes } from './object-list.js';
import { isPicture, privateDetails } from './private-details.js';
import { type DossierReference, referenceFiles } from './references.js';
import { sealKeyName, sealText } from './seal.js';
import { verifyPage } from './verify-page/page.js';
import { verifyScript } from './verify-page/script.js';
import { ZipLayout } from './zip-writer.js';

type Chunks = AsyncIterable<Uint8Array> | Iterable<Uint8Array>;

/** A source of bytes that can be read more than once. */
export interface DossierFile {
  /** below `data/`, e.g. `records/SLM.wI.2b-condition.pdf` */
  path: string;
  /** how about.html calls it; its path when left out */
  title?: string;
  open(): Chunks | Promise<Chunks>;
}

export type DossierObject = Omit<ListedObject, 'path' | 'state'> &
  (
    | { state: 'present'; path: string; title?: string; open(): Chunks | Promise<Chunks> }
    | { state: 'listed-only' | 'withdrawn' }
  );

/** One entry in order: its bytes, or only its leaf hash when it is withheld from this reader. */
export type DossierEntry = { bytes: Uint8Array } | { leafHash: Uint8Array };

export interface DossierLog {
  /** the signed checkpoint over exactly these entries */
  checkpointNote: string;
  /** verifier key of the log, as text */
  key: string;
  /** the newest checkpoint that a witness cosigned, when that is an earlier one */
  seenNote?: string;
  /** a time token (RFC 3161, DER) and the checkpoint that it was made over, byte for byte */
  time?: { stampedNote: string; token: Uint8Array };
  entries(): AsyncIterable<DossierEntry> | Iterable<DossierEntry>;
}

export interface DossierInput {
  kind: DossierKind;
  /** name of the folder in the zip: file form of the mark and the kind, [a-z0-9._-] */
  bagName: string;
  /** mark of the place */
  subject: string;
  /** `mullion/ID`: the archive part of its origin lines */
  archive: string;
  signer: { publicKey: Uint8Array; sign(message: Uint8Array): Uint8Array | Promise<Uint8Array> };
  about: { title: string; studio: string; paragraphs?: readonly string[] };
  /** RFC 3339 */
  madeAt: string;
  /** name and version of the program */
  program: string;
  logs: readonly DossierLog[];
  /** records, lead drawings, findings, derivatives of images */
  files: readonly DossierFile[];
  /** every object that a given entry names */
  objects: readonly DossierObject[];
  /** leaves of other logs that given entries refer to; each proof must hold */
  references?: readonly DossierReference[];
}

export interface DossierSummary {
  fingerprint: string;
  payloadBytes: number;
  files: number;
}

interface Planned {
  path: string;
  title: string;
  open(): Chunks | Promise<Chunks>;
}

/** @throws DossierError when the parts would make a dossier that does not verify */
export async function writeDossier(input: DossierInput, out: Writable): Promise<DossierSummary> {
  const made: { summary?: DossierSummary } = {};
  await pipeline(
    Readable.from(
      dossierBytes(input, (summary) => (made.summary = summary)),
      { objectMode: false },
    ),
    out,
  );
  return made.summary!;
}

/** The bytes of the zip file as they are made, for an object store. @throws DossierError */
export async function* dossierBytes(
  input: DossierInput,
  onDone: (summary: DossierSummary) => void = () => undefined,
): AsyncGenerator<Uint8Array> {
  if (!/^[a-z0-9][a-z0-9._-]*$/.test(input.bagName)) {
    throw new DossierError(
      'path',
      `${JSON.stringify(input.bagName)} is no name of a bag: a-z, 0-9, dot, _ and -`,
    );
  }
  const logs = await planLogs(input.logs);
  checkObjects(
    input,
    logs.flatMap((log) => log.named),
  );
  const listed = input.objects.map(listedObject);
  const given: Planned[] = [
    ...input.files.map((file) => ({
      title: file.path,
      ...file,
      path: `data/${file.path}`,
      open: () => file.open(),
    })),
    ...input.objects.flatMap((object) =>
      object.state === 'present'
        ? [
            {
              path: `data/${object.path}`,
              title: object.title ?? object.path,
              open: () => object.open(),
            },
          ]
        : [],
    ),
  ];
  const payload: Planned[] = [
    ...given,
    ...logs.flatMap((log) => log.files),
    ...(input.references ?? [])
      .flatMap(referenceFiles)
      .map(({ path, bytes }) => inMemory(path, bytes)),
    inMemory(OBJECTS_JSON, objectListBytes(listed)),
    inMemory(VERIFY_HTML, await verifyPageBytes()),
  ];
  checkPaths([...payload.map((file) => file.path), ABOUT_HTML]);
  const digests = new Map<string, FileDigests>();
  for (const file of payload) {
    digests.set(file.path, await digestsOf(await file.open(), nodeHashing));
  }
  checkPresent(listed, digests);
  if (input.kind === 'handed-out') await checkPictures(given);
  const fingerprint = fingerprintOf(input.signer.publicKey, nodeHashing.sha256);
  const about = aboutPage({
    ...input,
    title: input.about.title,
    studio: input.about.studio,
    paragraphs: input.about.paragraphs ?? [],
    fingerprint,
    files: sorted(given).map(({ path, title }) => ({
      path,
      title,
      sizeBytes: digests.get(path)!.sizeBytes,
    })),
    logs,
    objects: listed,
  });
  payload.push(inMemory(ABOUT_HTML, utf8(about)));
  digests.set(ABOUT_HTML, await digestsOf([utf8(about)], nodeHashing));
  const ordered = sorted(payload);
  const payloadBytes = ordered.reduce((sum, { path }) => sum + digests.get(path)!.sizeBytes, 0);
  const tags = await tagFiles(input, ordered, digests, payloadBytes);
  yield* zipped(input.bagName, [...tags, ...ordered], digests);
  onDone({ fingerprint, payloadBytes, files: ordered.length + tags.length });
}

async function* zipped(
  bagName: string,
  files: readonly Planned[],
  digests: ReadonlyMap<string, FileDigests>,
): AsyncGenerator<Uint8Array> {
  const layout = new ZipLayout();
  for (const file of files) {
    const { path } = file;
    const expected = digests.get(path)!;
    yield layout.header({
      name: `${bagName}/${path}`,
      sizeBytes: expected.sizeBytes,
      crc32: expected.crc32,
    });
    const running = nodeHashing.start();
    for await (const chunk of await file.open()) {
      running.update(chunk);
      yield chunk;
    }
    if (running.finish().sha256 !== expected.sha256) {
      throw new DossierError(
        'changed-while-writing',
        `${path} changed while the dossier was written: make it again`,
      );
    }
  }
  yield layout.end();
}

/** Declarations, manifests and seal; their digests are added to the map. */
async function tagFiles(
  input: DossierInput,
  payload: readonly Planned[],
  digests: Map<string, FileDigests>,
  payloadBytes: number,
): Promise<Planned[]> {
  const { signer, archive, subject, kind } = input;
  const key = verifierKey(sealKeyName(archive), signer.publicKey);
  const tags: Planned[] = [];
  const add = async (path: string, text: string): Promise<void> => {
    tags.push(inMemory(path, utf8(text)));
    digests.set(path, await digestsOf([utf8(text)], nodeHashing));
  };
  const manifest = (files: readonly Planned[], algorithm: (typeof ALGORITHMS)[number]) =>
    manifestText(files.map(({ path }) => ({ path, digestHex: digests.get(path)![algorithm] })));
  await add('bagit.txt', BAGIT_TXT);
  await add(
    'bag-info.txt',
    bagInfoText([
      ...(input.about.studio === '' ? [] : [['Source-Organization', input.about.studio] as const]),
      ['External-Description', input.about.title],
      ['External-Identifier', subject],
      ['Bagging-Date', input.madeAt.slice(0, 10)],
      ['Bag-Software-Agent', input.program],
      ['Payload-Oxum', `${payloadBytes}.${payload.length}`],
      ['Mullion-Dossier-Version', String(DOSSIER_VERSION)],
      ['Mullion-Dossier-Kind', kind],
      ['Mullion-Archive-Key', formatVerifierKey(key)],
    ]),
  );
  for (const algorithm of ALGORITHMS)
    await add(`manifest-${algorithm}.txt`, manifest(payload, algorithm));
  const tagged = sorted(tags);
  for (const algorithm of ALGORITHMS)
    await add(`tagmanifest-${algorithm}.txt`, manifest(tagged, algorithm));
  const tagManifests = {
    sha256: digests.get('tagmanifest-sha256.txt')!.sha256,
    sha512: digests.get('tagmanifest-sha512.txt')!.sha512,
  };
  await add(
    SEAL_TXT,
    await signNote(sealText({ kind, subject, tagManifests }), {
      ...key,
      sign: (message) => signer.sign(message),
    }),
  );
  return tags;
}

interface PlannedLog {
  origin: string;
  folder: string;
  size: number;
  withheld: number;
  named: { digest: string; seq: number; origin: string }[];
  files: Planned[];
}

async function planLogs(logs: readonly DossierLog[]): Promise<PlannedLog[]> {
  const planned: PlannedLog[] = [];
  for (const log of logs) planned.push(await planLog(log));
  return planned;
}

async function planLog(log: DossierLog): Promise<PlannedLog> {
  const leaves = new LeafList();
  const named: PlannedLog['named'] = [];
  const origin = log.checkpointNote.split('\n')[0]!;
  for await (const entry of log.entries()) {
    const isGiven = 'bytes' in entry;
    if (isGiven) collectObjects(parsed(entry.bytes, origin, leaves.size), origin, named);
    leaves.push(isGiven ? leafHash(entry.bytes, nodeHashing.sha256) : entry.leafHash, !isGiven);
  }
  await checkLog(log, leaves, origin);
  const folder = `${LEDGER_DIR}${logFolder(origin)}/`;
  const file = (name: string, open: Planned['open']): Planned => ({
    path: folder + name,
    title: name,
    open,
  });
  return {
    origin,
    folder,
    size: leaves.size,
    withheld: leaves.withheldCount,
    named,
    files: [
      file(LOG_FILES.entries, () => entryFile(log)),
      file(LOG_FILES.leaves, () => leafFile(leaves)),
      file(LOG_FILES.checkpoint, () => [utf8(log.checkpointNote)]),
      file(LOG_FILES.key, () => [utf8(`${log.key}\n`)]),
      ...(log.seenNote === undefined
        ? []
        : [file(LOG_EXTRA_FILES.seen, () => [utf8(log.seenNote!)])]),
      ...(log.time === undefined
        ? []
        : [
            file(LOG_EXTRA_FILES.stamped, () => [utf8(log.time!.stampedNote)]),
            file(LOG_EXTRA_FILES.token, () => [log.time!.token]),
          ]),
    ],
  };
}

/** Nothing leaves the house that its own check would call altered. */
async function checkLog(log: DossierLog, leaves: LeafList, origin: string): Promise<void> {
  const check = new LogCheck(log.checkpointNote, {
    key: log.key,
    leaves,
    hash: nodeHashing.sha256,
    checkForm: false,
  });
  for await (const entry of log.entries()) if ('bytes' in entry) check.add(entry.bytes);
  const verdict = check.finish();
  if (verdict.result === 'altered') {
    const reasons = verdict.faults.map((fault) => fault.reason).join('; ');
    throw new DossierError('log', `the log ${origin} does not fit its checkpoint: ${reasons}`);
  }
}

function parsed(bytes: Uint8Array, origin: string, seq: number): Entry {
  let entry: Entry;
  try {
    entry = parseEntry(bytes);
  } catch (cause) {
    const detail = cause instanceof Error ? cause.message : String(cause);
    throw new DossierError('log', `entry ${seq} of ${origin}: ${detail}`, { cause });
  }
  if (entry.seq !== seq || entry.log !== origin) {
    throw new DossierError(
      'log',
      `entry ${seq} of ${origin} says it is entry ${entry.seq} of ${entry.log}`,
    );
  }
  return entry;
}

function collectObjects(entry: Entry, origin: string, named: PlannedLog['named']): void {
  for (const { digest } of entry.objects) named.push({ digest, seq: entry.seq, origin });
}

async function* entryFile(log: DossierLog): AsyncGenerator<Uint8Array> {
  const batch = new LineBatch();
  for await (const entry of log.entries()) {
    if ('bytes' in entry && batch.add(entry.bytes)) yield batch.take();
  }
  yield batch.take();
}

function* leafFile(leaves: LeafList): Generator<Uint8Array> {
  const batch = new LineBatch();
  for (let seq = 0; seq < leaves.size; seq++) {
    const line = leafListLine(leaves.at(seq)!, leaves.isWithheld(seq));
    if (batch.add(utf8(line.slice(0, -1)))) yield batch.take();
  }
  yield batch.take();
}

function checkObjects(input: DossierInput, named: PlannedLog['named']): void {
  const listed = new Set<string>();
  for (const { digest, role, state } of input.objects) {
    if (listed.has(digest)) throw new DossierError('twice', `the object ${digest} is listed twice`);
    listed.add(digest);
    if (input.kind === 'handed-out' && state === 'present' && role === 'original') {
      throw new DossierError(
        'object-kind',
        `a handed-out dossier lists originals by digest only; ${digest} was to be put in`,
      );
    }
  }
  for (const { digest, seq, origin } of named) {
    if (!listed.has(digest)) {
      throw new DossierError(
        'object-unlisted',
        `entry ${seq} of ${origin} names the object ${digest}, which is not among the objects`,
      );
    }
  }
}

function checkPresent(
  listed: readonly ListedObject[],
  digests: ReadonlyMap<string, FileDigests>,
): void {
  for (const { digest, path, state } of listed) {
    if (state !== 'present') continue;
    const found = digests.get(path!)!;
    if (`sha256:${found.sha256}` !== digest) {
      throw new DossierError(
        'object-unlisted',
        `the bytes for ${path!} are sha256:${found.sha256}, not the object ${digest}`,
      );
    }
  }
}

/** Copies that are handed out must not say where the building stands or whose camera it was. */
async function checkPictures(files: readonly Planned[]): Promise<void> {
  for (const file of files) {
    if (!isPicture(file.path)) continue;
    const details = await privateDetails(await file.open());
    if (details.length > 0) {
      throw new DossierError(
        'private-detail',
        `${file.path} still holds ${details.join(' and ')}: hand out a copy made without them`,
      );
    }
  }
}

function checkPaths(paths: readonly string[]): void {
  const keys = new Map<string, string>();
  for (const path of paths) {
    const problem = pathProblem(path);
    if (problem !== undefined)
      throw new DossierError('path', `${problem}: ${JSON.stringify(path)}`);
    const same = keys.get(pathKey(path));
    if (same !== undefined)
      throw new DossierError('twice', `${path} and ${same} cannot lie in one dossier`);
    keys.set(pathKey(path), path);
  }
}

function listedObject(object: DossierObject): ListedObject {
  const { digest, sizeBytes, role, state, reason } = object;
  return {
    digest,
    sizeBytes,
    role,
    state,
    ...(object.state === 'present' && { path: `data/${object.path}` }),
    ...(reason !== undefined && { reason }),
  };
}

async function verifyPageBytes(): Promise<Uint8Array> {
  const script = await verifyScript();
  const digest = nodeHashing.sha256(utf8(script));
  return utf8(verifyPage(script, Buffer.from(digest).toString('base64')));
}

function inMemory(path: string, bytes: Uint8Array): Planned {
  return { path, title: path, open: () => [bytes] };
}

function sorted<T extends { path: string }>(files: readonly T[]): T[] {
  return [...files].sort((a, b) => comparePaths(a.path, b.path));
}

function utf8(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}
