/** Deeper than anything that is asked for here; far from what would use up the stack. */
const DEPTH_MAX = 100;

export interface Unstorable {
  /** path to the first thing that cannot be kept, keys included */
  readonly path: PropertyKey[];
  readonly why: 'text' | 'depth';
}

/**
 * Finds what neither the database nor an entry can hold: text with a NUL (PostgreSQL refuses it) or half
 * of a surrogate pair (RFC 8785 section 3.2.2.2 refuses it), and what is nested without end.
 *
 * @returns undefined when all can be stored
 */
export function unstorable(
  value: unknown,
  above: readonly PropertyKey[] = [],
): Unstorable | undefined {
  if (typeof value === 'string') {
    return isStorable(value) ? undefined : { path: [...above], why: 'text' };
  }
  if (typeof value !== 'object' || value === null) return undefined;
  if (above.length >= DEPTH_MAX) return { path: [...above], why: 'depth' };
  for (const [key, part] of Object.entries(value)) {
    const path = [...above, Array.isArray(value) ? Number(key) : key];
    if (!isStorable(key)) return { path, why: 'text' };
    const found = unstorable(part, path);
    if (found !== undefined) return found;
  }
  return undefined;
}

function isStorable(text: string): boolean {
  return !text.includes('\0') && !/\p{Surrogate}/u.test(text);
}
