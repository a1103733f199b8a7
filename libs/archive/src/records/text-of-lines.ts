/** A field of a record out of its lines; nothing recorded is null, which is printed as such. */
export const textOfLines = (lines: readonly string[]): string | null =>
  lines.length === 0 ? null : lines.join('\n');
