/** Which day and which state of knowledge a view is asked for. */
import { z } from 'zod';
import { daysOf, type Tx } from '#libs/archive';
import { EPOCH_STEP, placeInHistory } from '#libs/ledger';
import { Problem } from '#libs/problem';

export const momentQuery = z.object({
  at: z
    .string()
    .min(1)
    .max(128)
    .optional()
    .describe('EDTF: what had happened by the last day that it means; left out: everything'),
  known: z
    .string()
    .min(1)
    .max(40)
    .optional()
    .describe(
      'what the ledger held: at the end of a day (2026-11-20, UTC), at a date-time, or up to an entry by its place (10482); left out: now',
    ),
});

/** `null` where nothing limits the view. */
export interface Moment {
  /** last day that counts, YYYY-MM-DD */
  readonly until: string | null;
  readonly known: KnownThen | null;
}

/** The newest entry that counts; place −1 when the site had none. */
export interface KnownThen {
  readonly place: number;
  readonly recordedAt: Date | null;
}

export const asOfAnswer = z.object({
  until: z.string().nullable().describe('last day that counts, YYYY-MM-DD; null: everything'),
  knownEntry: z.int().nullable().describe('place of the newest entry that counts; null: now'),
  knownAt: z.iso.datetime().nullable().describe('when that entry was recorded'),
  inArchive: z.boolean().describe('false: the window was drawn into the archive later'),
});

export const asOf = ({ until, known }: Moment, inArchive: boolean): z.infer<typeof asOfAnswer> => ({
  until,
  knownEntry: known?.place ?? null,
  knownAt: known?.recordedAt?.toISOString() ?? null,
  inArchive,
});

/** `placeInHistory` in SQL. @param seq column with the number of an entry of the log `l` */
export const placeSql = (seq: string): string => `(l.epoch - 1) * ${EPOCH_STEP} + ${seq}`;

/** @throws {Problem} `date-invalid` naming the member */
export async function momentOf(
  tx: Tx,
  siteId: string,
  { at, known }: z.infer<typeof momentQuery>,
): Promise<Moment> {
  return {
    until: at === undefined ? null : lastDayOf(at),
    known: known === undefined ? null : await knownThen(tx, siteId, known),
  };
}

function lastDayOf(at: string): string {
  const { last } = daysOf(at, 'at');
  if (last !== null) return last;
  throw new Problem(
    'date-invalid',
    `at: ${JSON.stringify(at)} has no last day. Name a day, a month or a year, e.g. 2019-06.`,
    { field: 'at' },
  );
}

async function knownThen(tx: Tx, siteId: string, known: string): Promise<KnownThen> {
  const newest = (condition: string, value: unknown) =>
    tx.first<{ epoch: number; seq: number; recordedAt: Date }>(
      `SELECT l.epoch, e.seq, e.recorded_at FROM log l JOIN LATERAL (
         SELECT seq, recorded_at FROM entry WHERE log_id = l.log_id AND ${condition}
         ORDER BY seq DESC LIMIT 1) e ON true
       WHERE l.site_id = $1 ORDER BY l.epoch DESC LIMIT 1`,
      [siteId, value],
    );
  const row = /^\d{1,15}$/.test(known)
    ? await newest(`${placeSql('seq')} <= $2::bigint`, known)
    : await newest('recorded_at <= $2::timestamptz', instantOf(known));
  return row === undefined
    ? { place: -1, recordedAt: null }
    : { place: placeInHistory(row.epoch, row.seq), recordedAt: row.recordedAt };
}

function instantOf(known: string): Date {
  const isDay = /^\d{4}-\d{2}-\d{2}$/.test(known);
  const isMoment = /^\d{4}-\d{2}-\d{2}T[\d:.]+(Z|[+-]\d{2}:\d{2})$/.test(known);
  const instant = new Date(isDay ? `${known}T23:59:59.999Z` : known);
  if ((isDay || isMoment) && !Number.isNaN(instant.getTime())) return instant;
  throw new Problem(
    'date-invalid',
    `known: ${JSON.stringify(known)} is neither a day (2026-11-20), nor a date-time with its zone, nor the place of an entry.`,
    { field: 'known' },
  );
}
