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

/** @throws {Problem} `request-invalid` for text that no list gave out */
export function readCursor<T extends readonly (string | number)[]>(
  text: string | undefined,
  length: T['length'],
): T | undefined {
  if (text === undefined) return undefined;
  try {
    const key: unknown = JSON.parse(Buffer.from(text, 'base64url').toString());
    if (Array.isArray(key) && key.length === length) return key as unknown as T;
  } catch {
    // answered below: whatever it was, it is no place in a list
  }
  throw noPlace();
}

const momentKey = z.tuple([dateTime, idSchema]);

/**
 * A place in a list that is ordered by a moment and an id. Both are looked at here: the database
 * refuses other text as a fault of the server.
 * @throws {Problem} `request-invalid` for text that no such list gave out
 */
export function readMomentCursor(
  text: string | undefined,
): readonly [at: string, id: string] | undefined {
  const key = readCursor<[string, string]>(text, 2);
  if (key === undefined) return undefined;
  const read = momentKey.safeParse(key);
  if (!read.success) throw noPlace();
  return read.data;
}

function noPlace(): Problem {
  return new Problem(
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
