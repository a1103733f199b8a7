/** Hits as a table, RFC 4180, streamed while they are read. */
import { Readable } from 'node:stream';
import { Injectable } from '@nestjs/common';
import { csvLine } from '#libs/csv';
import type { Conditions } from './search.conditions.js';
import { SearchPool } from './search.pool.js';

const ROWS_AT_ONCE = 1000;
const COLUMNS = [
  'kind',
  'mark',
  'title',
  'text',
  'happened',
  'earliest day',
  'latest day',
  'recorded at',
  'operation',
  'term',
  'material',
  'role',
  'shows',
  'id',
];

interface CsvRow {
  kind: string;
  subject: string;
  title: string;
  text: string;
  happened: string | null;
  first: string | null;
  last: string | null;
  recorded_at: Date;
  keys: string[] | null;
  row_id: string;
}

@Injectable()
export class SearchCsv {
  constructor(private readonly search: SearchPool) {}

  /** All hits, newest first. Asked by a cursor, so that no more than a part stands in memory. */
  stream({ where, values }: Conditions): Readable {
    return Readable.from(this.#lines(where, values), { objectMode: false });
  }

  async *#lines(where: string, values: unknown[]): AsyncGenerator<string> {
    const client = await this.search.pool.connect();
    let broken: Error | undefined;
    try {
      await client.query('BEGIN READ ONLY');
      await client.query(
        `DECLARE hits NO SCROLL CURSOR FOR
         SELECT kind, subject, title, text, happened, earliest::text AS first, latest::text AS last,
           recorded_at, keys, row_id
         FROM search_row WHERE ${where} ORDER BY recorded_at DESC, row_id DESC`,
        values,
      );
      yield csvLine(COLUMNS);
      for (;;) {
        const { rows } = await client.query<CsvRow>(`FETCH ${ROWS_AT_ONCE} FROM hits`);
        if (rows.length > 0) yield rows.map((row) => csvLine(cells(row))).join('');
        if (rows.length < ROWS_AT_ONCE) break;
      }
    } catch (error) {
      broken = error as Error;
      throw error;
    } finally {
      if (broken === undefined) await client.query('ROLLBACK');
      client.release(broken);
    }
  }
}

function cells(row: CsvRow): (string | null)[] {
  const of = (letter: string) =>
    (row.keys ?? [])
      .filter((key) => key.startsWith(`${letter}:`))
      .map((key) => key.slice(2))
      .join('; ');
  return [
    row.kind,
    row.subject,
    row.title,
    row.text,
    row.happened,
    row.first,
    row.last,
    row.recorded_at.toISOString(),
    of('o'),
    of('t'),
    of('x'),
    of('r'),
    of('s'),
    row.row_id,
  ];
}
