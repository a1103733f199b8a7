/** The binary form against PostgreSQL itself, which reads it and writes it out as text. */
import { createPool, createTestDatabase, type PgPool, type TestDatabase } from '#libs/db';
import { type ArrayType, arrayText, binaryArray } from './binary-array.js';

let database: TestDatabase;
let pool: PgPool;

beforeAll(async () => {
  database = await createTestDatabase();
  pool = createPool(database.applicationUrl, { max: 1 });
}, 60_000);
afterAll(async () => {
  await pool.end();
  await database.drop();
});

const CASES: { type: ArrayType; values: unknown[]; written: (string | null)[] }[] = [
  {
    type: 'text',
    values: ['', 'Überfangglas', null, '𝄞 "a\\b",{}'],
    written: ['', 'Überfangglas', null, '𝄞 "a\\b",{}'],
  },
  { type: 'int4', values: [0, -1, 2147483647], written: ['0', '-1', '2147483647'] },
  {
    type: 'int8',
    values: [0, -1, 4294967296, -4294967297, 9007199254740991],
    written: ['0', '-1', '4294967296', '-4294967297', '9007199254740991'],
  },
  {
    type: 'uuid',
    values: ['0190a0c4-0000-7000-8000-000000000001'],
    written: ['0190a0c4-0000-7000-8000-000000000001'],
  },
  {
    type: 'timestamptz',
    values: [new Date('2026-11-25T08:30:00.123Z'), new Date('1931-01-02T03:04:05.006Z'), undefined],
    written: ['2026-11-25 08:30:00.123+00', '1931-01-02 03:04:05.006+00', null],
  },
  {
    type: 'bytea',
    values: [Buffer.from([0, 255, 92]), new Uint8Array(0)],
    written: ['\\x00ff5c', '\\x'],
  },
  {
    type: 'json',
    values: [{ b: [1, 'ü'], a: null }, 'text'],
    written: ['{"b":[1,"ü"],"a":null}', '"text"'],
  },
  {
    type: 'jsonb',
    values: [{ b: [1, 'ü'], a: null }, undefined, 'text'],
    written: ['{"a": null, "b": [1, "ü"]}', null, '"text"'],
  },
  { type: 'bool', values: [true, false, null], written: ['true', 'false', null] },
];

describe('an array as text', () => {
  it('is read by PostgreSQL as it was meant', async () => {
    const values = ['', 'NULL', 'Überfangglas', 'a"b\\c', '{x,y}', " '", '𝄞'];
    const { rows } = await pool.query<{ read: string[] }>('SELECT $1::text[] AS read', [
      arrayText(values),
    ]);
    expect(rows).toEqual([{ read: values }]);
  });
});

describe('an array in binary', () => {
  it.each(CASES)('of $type is read by PostgreSQL as it was meant', async (one) => {
    const { rows } = await pool.query<{ written: string | null }>(
      `SELECT one::text AS written FROM unnest($1::${one.type}[]) AS one`,
      [binaryArray(one.type, one.values)],
    );
    expect(rows.map(({ written }) => written)).toEqual(one.written);
  });

  it('takes no uuid that is none', () => {
    expect(() => binaryArray('uuid', ['0190a0c4-0000-7000-8000-00000000000x'])).toThrow('no uuid');
  });

  it('of no values is empty', async () => {
    const { rows } = await pool.query('SELECT unnest($1::text[])', [binaryArray('text', [])]);
    expect(rows).toEqual([]);
  });
});
