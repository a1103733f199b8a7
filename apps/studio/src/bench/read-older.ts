/** The pictures of a panel before those that come with it, page by page. */
import type { Media } from '../platform/api/media.js';

/** What was read of them so far, newest first. */
export interface ReadOlder {
  readonly items: readonly Media[];
  /** where the next page begins; null: these are all */
  readonly next: string | null;
}

/** Newest first, as the archive orders them; below 0: `a` comes before `b`. */
function newestFirst(a: Media, b: Media): number {
  return text(b.recordedAt, a.recordedAt) || text(b.mediaId, a.mediaId);
}

const text = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** Each picture once, newest first; of two answers about one the first list's stays. */
export function eachOnce(first: readonly Media[], then: readonly Media[]): readonly Media[] {
  const known = new Set(first.map(({ mediaId }) => mediaId));
  return [...first, ...then.filter(({ mediaId }) => !known.has(mediaId))].sort(newestFirst);
}

/**
 * Reads on from a place.
 * @param downTo reads until this picture's place is reached: it was shown before and stays shown
 * @param isMore one page more than that
 */
export async function readOlder(
  from: ReadOlder,
  { downTo, isMore }: { readonly downTo: Media | undefined; readonly isMore: boolean },
  page: (after: string) => Promise<ReadOlder>,
): Promise<ReadOlder & { readonly brought: readonly Media[] }> {
  let { items, next } = from;
  const turn = async (after: string) => {
    const read = await page(after);
    items = [...items, ...read.items];
    next = read.next;
    return read.items;
  };
  const isReached = () => {
    const last = items.at(-1);
    return downTo === undefined || (last !== undefined && newestFirst(last, downTo) >= 0);
  };
  while (next !== null && !isReached()) await turn(next);
  const brought = isMore && next !== null ? await turn(next) : [];
  return { items, next, brought };
}
