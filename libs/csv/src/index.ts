/** Door of tables as text for a spreadsheet. */

/**
 * One record, RFC 4180 section 2. Text that a spreadsheet would take for a formula gets an apostrophe
 * before it (OWASP, CSV Injection, from memory); a number is a number.
 *
 * @param cells null: left empty; none at all: an empty line
 */
export function csvLine(cells: readonly (string | number | null)[]): string {
  return `${cells.map(field).join(',')}\r\n`;
}

function field(cell: string | number | null): string {
  const text = String(cell ?? '');
  const safe = typeof cell === 'string' && /^[=+\-@\t\r]/.test(cell) ? `'${text}` : text;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
