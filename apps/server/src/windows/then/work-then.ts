/** Work on the panels of a window as it stood: state of work, lead drawings, interventions. */
import { newestPayload, STATE_ENTRIES, subjectsAt, type Tx } from '#libs/archive';
import { parseEntry, placeInHistory } from '#libs/ledger';
import { operation } from '#libs/vocabulary';
import { dayOf, isBy } from './happened-by.js';
import { type Moment, placeSql } from './moment.js';

export type WorkState = 'in-place' | 'out' | 'on-bench' | 'rebuilt';

export interface StateChange {
  readonly mark: string;
  readonly workState: WorkState;
  readonly happened: string | null;
  readonly recordedAt: Date;
  readonly place: number;
}

export interface NetThen {
  readonly revision: number;
  readonly digest: string;
  readonly pieces: number;
  readonly doubts: number;
  readonly isSigned: boolean;
}

export interface DrawingEvent {
  readonly mark: string;
  readonly what: 'drawn' | 'signed';
  readonly recordedAt: Date;
  readonly place: number;
}

/** A rubbing that was taken, or the reason why none was. */
export interface RubbingThen {
  readonly mark: string;
  readonly isTaken: boolean;
  readonly happened: string | null;
  readonly recordedAt: Date;
}

export interface PanelWork {
  readonly states: readonly StateChange[];
  readonly rubbings: readonly RubbingThen[];
  readonly drawings: readonly DrawingEvent[];
  /** by the panel's full mark; the newest of the front */
  readonly nets: ReadonlyMap<string, NetThen>;
  readonly signed: ReadonlyMap<string, NetThen>;
  /** what the panel shows, as last described */
  readonly shows: ReadonlyMap<string, string | null>;
}

interface NetSaid {
  revision: number;
  layer: string;
  netDigest: string;
  summary?: { pieces: number; doubtful: number; doubtfulLeads: number };
}

const TYPES = [
  ...STATE_ENTRIES,
  'rubbing.record',
  'net.revise',
  'net.import',
  'net.extract',
  'net.sign',
];

/**
 * What the ledger says of the panels with these full marks. A state of work counts from the entry
 * that changed it; of several that had happened by the day the one said last stands, as it does for
 * whoever looks at the panel today.
 */
export async function panelWork(
  tx: Tx,
  siteId: string,
  fullMarks: readonly string[],
  { until, known }: Moment,
): Promise<PanelWork> {
  const rows = await tx.query<{ epoch: number; bytes: Buffer }>(
    `SELECT l.epoch, e.bytes FROM log l JOIN entry e USING (log_id)
     WHERE l.site_id = $1 AND e.subject = ANY($2) AND e.type = ANY($3)
       AND ($4::bigint IS NULL OR ${placeSql('e.seq')} <= $4)
     ORDER BY l.epoch, e.seq`,
    [siteId, fullMarks, TYPES, known?.place ?? null],
  );
  const states: StateChange[] = [];
  const rubbings: RubbingThen[] = [];
  const drawings: DrawingEvent[] = [];
  const nets = new Map<string, NetThen>();
  const signed = new Map<string, NetThen>();
  const revisions = new Map<string, NetThen>();
  const last = new Map<string, string>();
  const shows = new Map<string, string | null>();
  for (const { epoch, bytes } of rows) {
    const entry = parseEntry(new Uint8Array(bytes));
    const payload = newestPayload(entry) as unknown;
    const mark = entry.subject!;
    const at = {
      mark,
      place: placeInHistory(epoch, entry.seq),
      recordedAt: new Date(entry.recordedAt),
    };
    if (STATE_ENTRIES.includes(entry.type)) {
      const { workState, ...said } = payload as { workState: WorkState; shows?: string | null };
      if (said.shows !== undefined) shows.set(mark, said.shows);
      if ((last.get(mark) ?? 'in-place') === workState) continue;
      last.set(mark, workState);
      const change = { ...at, workState, happened: entry.happened };
      if (isBy(until, change.happened, at.recordedAt)) states.push(change);
      continue;
    }
    if (entry.type === 'rubbing.record') {
      const { sheet } = payload as { sheet: unknown };
      if (isBy(until, entry.happened, at.recordedAt))
        rubbings.push({ ...at, happened: entry.happened, isTaken: sheet !== null });
      continue;
    }
    if (!isBy(until, null, at.recordedAt)) continue;
    const { revision, layer, netDigest, summary } = payload as NetSaid;
    if (layer !== 'front') continue;
    const key = `${mark} ${revision}`;
    if (entry.type === 'net.sign') {
      drawings.push({ ...at, what: 'signed' });
      const net = revisions.get(key);
      if (net === undefined) continue;
      const now = { ...net, isSigned: true };
      signed.set(mark, now);
      if (nets.get(mark)?.revision === revision) nets.set(mark, now);
    } else {
      drawings.push({ ...at, what: 'drawn' });
      const net = {
        revision,
        digest: netDigest,
        pieces: summary?.pieces ?? 0,
        doubts: (summary?.doubtful ?? 0) + (summary?.doubtfulLeads ?? 0),
        isSigned: false,
      };
      revisions.set(key, net);
      nets.set(mark, net);
    }
  }
  return { states, rubbings, drawings, nets, signed, shows };
}

export interface InterventionThen {
  readonly subjects: readonly string[];
  readonly operation: string;
  readonly happened: string | null;
  readonly recordedAt: Date;
  readonly entrySeq: number;
}

/** A look, a test or a rubbing: it tells of the glass and does not change it. */
export const isExamination = (key: string): boolean => operation(key)?.group === 'examine';

/** Work that touched the window, something in it, or the site as a whole; oldest day first. */
export async function interventionsThen(
  tx: Tx,
  siteId: string,
  windowMark: string,
  { until, known }: Moment,
): Promise<InterventionThen[]> {
  const siteMark = windowMark.split('.')[0]!;
  const rows = await tx.query<InterventionThen>(
    `SELECT subjects, operation, happened, recorded_at, entry_seq FROM intervention
     WHERE site_id = $1 AND state = 'recorded' AND ($4::bigint IS NULL OR entry_seq <= $4)
       AND (${subjectsAt('$2')} OR $3 = ANY(subjects))`,
    [siteId, windowMark, siteMark, known?.place ?? null],
  );
  return rows
    .filter(({ happened, recordedAt }) => isBy(until, happened, recordedAt))
    .map((row) => ({ row, day: dayOf(row.happened, row.recordedAt) }))
    .sort((a, b) => (a.day === b.day ? a.row.entrySeq - b.row.entrySeq : a.day < b.day ? -1 : 1))
    .map(({ row }) => row);
}
