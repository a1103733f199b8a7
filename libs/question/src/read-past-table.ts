/** Past work out of a table that was copied from a spreadsheet: one act a row, each with what is wrong with it. */
import { OPERATIONS } from '#libs/vocabulary';
import { operationsNamed } from './names.js';
import { readDates } from './read-dates.js';

export const PAST_COLUMNS = [
  'where',
  'what',
  'when',
  'material',
  'who',
  'role',
  'note',
  'source',
] as const;
export type PastColumn = (typeof PAST_COLUMNS)[number];

export interface PastWork {
  /** marks or earlier numbers, as written */
  readonly where: readonly string[];
  /** key of the vocabulary */
  readonly operation: string;
  /** EDTF */
  readonly happened: string;
  readonly material?: string;
  readonly who?: string;
  readonly role?: string;
  readonly note?: string;
  readonly source?: string;
}

/** What a row lacks. `operation-open`: the word may mean any of `among`. */
export type PastFault =
  | { readonly kind: 'where-missing' | 'when-missing' | 'what-missing' }
  | { readonly kind: 'date-unread' | 'operation-unknown'; readonly said: string }
  | { readonly kind: 'operation-open'; readonly said: string; readonly among: readonly string[] };

export interface PastRow {
  /** from 1, as it stands in what was pasted */
  readonly line: number;
  readonly cells: Readonly<Record<PastColumn, string>>;
  readonly work: PastWork | null;
  readonly faults: readonly PastFault[];
}

/** Names of columns that a first row may have, in any order. */
const NAMES: Readonly<Record<string, PastColumn>> = {
  where: 'where',
  mark: 'where',
  marks: 'where',
  panel: 'where',
  piece: 'where',
  window: 'where',
  what: 'what',
  work: 'what',
  operation: 'what',
  treatment: 'what',
  when: 'when',
  date: 'when',
  year: 'when',
  material: 'material',
  materials: 'material',
  who: 'who',
  person: 'who',
  by: 'who',
  firm: 'who',
  role: 'role',
  trade: 'role',
  note: 'note',
  notes: 'note',
  remark: 'note',
  source: 'source',
  evidence: 'source',
};

/** Tabs as a spreadsheet copies them, or semicolons; the first row may name the columns. */
export function readPastTable(text: string): PastRow[] {
  const lines = text.split(/\r\n|\r|\n/).map((line, i) => ({ line: i + 1, cells: cellsOf(line) }));
  const filled = lines.filter(({ cells }) => cells.some((cell) => cell !== ''));
  const named = filled[0]?.cells.map((cell) => NAMES[cell.toLowerCase()]);
  const hasNames = named !== undefined && named.includes('where') && named.includes('when');
  const columns = hasNames ? named : PAST_COLUMNS;
  return filled.slice(hasNames ? 1 : 0).map(({ line, cells }) => {
    const row = Object.fromEntries(PAST_COLUMNS.map((name) => [name, ''])) as Record<
      PastColumn,
      string
    >;
    for (const [i, name] of columns.entries()) if (name !== undefined) row[name] = cells[i] ?? '';
    return readRow(line, row);
  });
}

function cellsOf(line: string): string[] {
  return line.split(line.includes('\t') ? '\t' : ';').map((cell) =>
    cell
      .trim()
      .replace(/^"(.*)"$/s, '$1')
      .replaceAll('""', '"'),
  );
}

function readRow(line: number, cells: Record<PastColumn, string>): PastRow {
  const faults: PastFault[] = [];
  const where = cells.where
    .split(/[,+]|\s+and\s+/)
    .map((mark) => mark.trim())
    .filter((mark) => mark !== '');
  if (where.length === 0) faults.push({ kind: 'where-missing' });
  const happened = edtfOf(cells.when, faults);
  const operation = operationOf(cells.what, faults);
  if (faults.length > 0 || happened === null || operation === null)
    return { line, cells, work: null, faults };
  const told = Object.fromEntries(
    (['material', 'who', 'role', 'note', 'source'] as const).flatMap((name) =>
      cells[name] === '' ? [] : [[name, cells[name]]],
    ),
  );
  return { line, cells, work: { where, operation, happened, ...told }, faults };
}

/** EDTF as it is written; else a date in words: c. 1925 → 1925~, before 1900 → ../1899. */
function edtfOf(text: string, faults: PastFault[]): string | null {
  if (text === '') {
    faults.push({ kind: 'when-missing' });
    return null;
  }
  if (/^[\dX][\dXY~?%/.-]*$/.test(text) && !/^\d{4}-\d{4}$/.test(text)) return text;
  const read = readDates(text);
  if (read === undefined || /[\p{L}\p{N}]/u.test(read.rest)) {
    faults.push({ kind: 'date-unread', said: text });
    return null;
  }
  const { from, to } = read.dates;
  return from === to ? from! : `${from ?? '..'}/${to ?? '..'}`;
}

function operationOf(text: string, faults: PastFault[]): string | null {
  if (text === '') {
    faults.push({ kind: 'what-missing' });
    return null;
  }
  const plain = text.toLowerCase();
  const exact = OPERATIONS.find(({ key, label }) => key === plain || label === plain);
  if (exact !== undefined) return exact.key;
  const among = operationsNamed(text);
  if (among?.length === 1) return among[0]!;
  faults.push(
    among === undefined
      ? { kind: 'operation-unknown', said: text }
      : { kind: 'operation-open', said: text, among },
  );
  return null;
}
