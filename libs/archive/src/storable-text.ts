/**
 * Finds text that neither the database nor an entry can hold: a NUL (PostgreSQL refuses it in text) or
 * half of a surrogate pair (RFC 8785 section 3.2.2.2 refuses it).
 *
 * @returns path to the first such text, keys included; undefined when all can be stored
 */
export function unstorablePath(
  value: unknown,
  above: readonly PropertyKey[] = [],
): PropertyKey[] | undefined {
  if (typeof value === 'string') return isStorable(value) ? undefined : [...above];
  if (typeof value !== 'object' || value === null) return undefined;
  for (const [key, part] of Object.entries(value)) {
    const path = [...above, Array.isArray(value) ? Number(key) : key];
    if (!isStorable(key)) return path;
    const found = unstorablePath(part, path);
    if (found !== undefined) return found;
  }
  return undefined;
}

function isStorable(text: string): boolean {
  return !text.includes('\0') && !/\p{Surrogate}/u.test(text);
}
