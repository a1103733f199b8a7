/** What a record said before it was changed: the chain of entries that each name the one before. */
import { newestPayload, type Tx } from '#libs/archive';
import {
  type Entry,
  epochLogId,
  isLaterEpoch,
  parseEntry,
  parseOrigin,
  placeInHistory,
  readPlace,
} from '#libs/ledger';

export interface EntryThen {
  readonly place: number;
  readonly type: string;
  readonly happened: string | null;
  readonly recordedAt: Date;
  readonly payload: Readonly<Record<string, unknown>>;
}

/**
 * The newest entry of each chain that stands at or before a place.
 *
 * @param newest place of the newest entry of each chain
 * @returns in the order of `newest`; undefined where the chain begins later
 */
export async function walkBack(
  tx: Tx,
  siteId: string,
  newest: readonly number[],
  place: number,
): Promise<(EntryThen | undefined)[]> {
  const found: (EntryThen | undefined)[] = newest.map(() => undefined);
  let open = newest.map((at, index) => ({ at, index }));
  while (open.length > 0) {
    const entries = await entriesAt(
      tx,
      siteId,
      open.map(({ at }) => at),
    );
    const next: typeof open = [];
    for (const { at, index } of open) {
      const entry = entries.get(at);
      if (entry === undefined) continue;
      if (at <= place) {
        found[index] = {
          place: at,
          type: entry.type,
          happened: entry.happened,
          recordedAt: new Date(entry.recordedAt),
          payload: newestPayload(entry),
        };
      } else {
        const before = placeBefore(entry, readPlace(at).epoch);
        if (before !== undefined) next.push({ at: before, index });
      }
    }
    open = next;
  }
  return found;
}

/** An entry of an epoch that is closed is referred to by its leaf, in an earlier log of the site. */
function placeBefore({ supersedes, refs, log }: Entry, epoch: number): number | undefined {
  if (supersedes !== null) return placeInHistory(epoch, supersedes.seq);
  const ref = refs.find(({ origin }) => isLaterEpoch(log, origin));
  return ref === undefined ? undefined : placeInHistory(parseOrigin(ref.origin)!.epoch, ref.index);
}

async function entriesAt(
  tx: Tx,
  siteId: string,
  places: readonly number[],
): Promise<Map<number, Entry>> {
  const rows = await tx.query<{ place: number; bytes: Buffer }>(
    `SELECT wanted.place, e.bytes
     FROM unnest($1::bigint[], $2::text[], $3::bigint[]) AS wanted(place, log_id, seq)
     JOIN entry e USING (log_id, seq)`,
    [
      places,
      places.map((place) => epochLogId(siteId, readPlace(place).epoch)),
      places.map((place) => readPlace(place).seq),
    ],
  );
  return new Map(rows.map(({ place, bytes }) => [place, parseEntry(new Uint8Array(bytes))]));
}
