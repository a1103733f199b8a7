import { z } from 'zod';
import { dateTime, idSchema } from '#libs/archive';
import { Problem } from '#libs/problem';

export const LIMIT_DEFAULT = 100;

export const pageQuery = z.object({
  after: z.string().max(500).optional().describe('`next` of the page before'),
  limit: z.coerce.number().int().min(1).max(500).default(LIMIT_DEFAULT),
});

export type PageQuery = z.infer<typeof pageQuery>;

export function pageOf<T extends z.ZodType>(item: T) {
  return z.object({
    items: z.array(item),
    next: z.string().nullable().describe('send it as `after` for the page that follows'),
  });
}

/** A place in a list, as text that says nothing to anybody else. */
export function cursorOf(key: readonly (string | number)[]): string {
  return Buffer.from(JSON.stringify(key)).toString('base64url');
}

/** Text in a key: PostgreSQL has no NUL in its text. */
export const keyText = z.string().regex(/^[^\0]*$/);

/** Key of a list that is ordered by a moment and an id. */
export const momentKey = z.tuple([dateTime, idSchema]);

/**
 * @param key what the list's places are made of; looked at here, since the database refuses another
 *   text as a fault of the server
 * @throws {Problem} `request-invalid` for text that no list of this key gave out
 */
export function readCursor<K extends z.ZodType>(
  text: string | undefined,
  key: K,
): z.infer<K> | undefined {
  if (text === undefined) return undefined;
  try {
    const read = key.safeParse(JSON.parse(Buffer.from(text, 'base64url').toString()));
    if (read.success) return read.data;
  } catch {
    // answered below: whatever it was, it is no place in a list
  }
  throw new Problem(
    'request-invalid',
    'after: take it from `next` of the page before, unchanged.',
    { field: 'after' },
  );
}

/** Page out of one row more than asked for. */
export function page<T>(
  rows: readonly T[],
  limit: number,
  keyOf: (row: T) => readonly (string | number)[],
): { items: T[]; next: string | null } {
  const items = rows.slice(0, limit);
  const last = items.at(-1);
  return { items, next: rows.length > limit && last !== undefined ? cursorOf(keyOf(last)) : null };
}
