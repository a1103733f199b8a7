/**
 * One bit somewhere in an archive, turned over: in the bytes of an object, of an entry, in a column, a
 * hash, a checkpoint, its copy. Each says where a check must find it, and takes itself back.
 */
import { chmodSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { ArchiveFinding } from '#libs/archive';
import type { RandomStream } from '../bench/generator/random-stream.js';
import { flippedValue, type Kind } from './flip-value.js';
import { objectPath, type SampleArchive } from './sample-archive.js';

export interface Flip {
  /** what was turned over, for the table */
  what: string;
  /** whether a finding names the right place */
  isLocated(finding: ArchiveFinding): boolean;
  undo(): Promise<void> | void;
}

export type FlipClass = (archive: SampleArchive, random: RandomStream) => Promise<Flip> | Flip;

interface Column {
  name: string;
  kind: Kind;
}

type Row = Record<string, unknown>;

/** A flip in one of the columns of one row of a table. */
async function rowFlip(
  { machine }: SampleArchive,
  random: RandomStream,
  table: string,
  key: readonly string[],
  columns: readonly Column[],
  isLocated: (before: Row, after: Row, column: string) => Flip['isLocated'],
): Promise<Flip> {
  const asText = [...new Set([...key, ...columns.map((one) => one.name)])]
    .map(
      (name) =>
        `${quoted(name)}${name === 'bytes' || /hash(es)?$|^root$/.test(name) ? '' : '::text'}`,
    )
    .join(', ');
  const { rows } = await machine.query<Row>(
    `SELECT ctid::text AS place, ${asText} FROM ${quoted(table)} ORDER BY ${key.map(quoted).join(', ')}`,
  );
  for (;;) {
    const row = random.pick(rows);
    const column = random.pick(columns);
    const before = row[column.name];
    if (before === null) continue;
    const value = flippedValue(before, column.kind, random);
    if (value === undefined) continue;
    const after = { ...row, [column.name]: value };
    const set = (place: Row, to: unknown) =>
      machine.query(
        `UPDATE ${quoted(table)} SET ${quoted(column.name)} = $1::text::${column.kind}
         WHERE ${key.map((name, at) => `${quoted(name)}::text = $${at + 2}`).join(' AND ')}`,
        [asSql(to), ...key.map((name) => String(place[name]))],
      );
    // a key that is taken already cannot be had by one bit
    const isSet = await set(row, value).then(
      () => true,
      () => false,
    );
    if (!isSet) continue;
    return {
      what: `${table}.${column.name}`,
      isLocated: isLocated(row, after, column.name),
      undo: async () => {
        await set(after, before);
      },
    };
  }
}

function asSql(value: unknown): string {
  return Buffer.isBuffer(value) ? `\\x${value.toString('hex')}` : String(value);
}

function quoted(name: string): string {
  return `"${name}"`;
}

/** A flip in a file of the object store. */
function fileFlip(path: string, random: RandomStream): () => void {
  const bytes = readFileSync(path);
  const changed = Buffer.from(bytes);
  changed[random.whole(0, bytes.length - 1)]! ^= 1 << random.whole(0, 7);
  chmodSync(path, 0o600);
  writeFileSync(path, changed);
  return () => {
    writeFileSync(path, bytes);
    chmodSync(path, 0o444);
  };
}

/** Mark of the entry's subject, looked up in the columns before anything was changed. */
function isAtEntry(origin: string, row: Row, after: Row): Flip['isLocated'] {
  return (finding) =>
    finding.log === origin &&
    (finding.seq === Number(row['seq']) || finding.seq === Number(after['seq'])) &&
    (row['subject'] === null || finding.what?.includes(row['subject'] as string) === true);
}

const ENTRY_COLUMNS: readonly Column[] = [
  { name: 'seq', kind: 'bigint' },
  { name: 'type', kind: 'text' },
  { name: 'subject', kind: 'text' },
  { name: 'actor_id', kind: 'uuid' },
  { name: 'happened', kind: 'text' },
  { name: 'recorded_at', kind: 'timestamptz' },
  { name: 'leaf_hash', kind: 'bytea' },
];

async function entryFlip(
  archive: SampleArchive,
  random: RandomStream,
  columns: readonly Column[],
): Promise<Flip> {
  const origins = await originsOf(archive);
  return rowFlip(archive, random, 'entry', ['log_id', 'seq'], columns, (row, after) => {
    const subject = subjects.get(`${String(row['log_id'])}/${String(row['seq'])}`) ?? null;
    return isAtEntry(origins.get(String(row['log_id']))!, { ...row, subject }, after);
  });
}

/** Subjects by log and number, read once while all is sound. */
const subjects = new Map<string, string | null>();

export async function rememberSubjects({ machine }: SampleArchive): Promise<void> {
  const { rows } = await machine.query<{ at: string; subject: string | null }>(
    `SELECT log_id || '/' || seq AS at, subject FROM entry`,
  );
  subjects.clear();
  for (const { at, subject } of rows) subjects.set(at, subject);
}

async function originsOf({ machine }: SampleArchive): Promise<Map<string, string>> {
  const { rows } = await machine.query<{ log_id: string; note: string }>(
    'SELECT DISTINCT ON (log_id) log_id, note FROM checkpoint ORDER BY log_id, size',
  );
  return new Map(rows.map(({ log_id, note }) => [log_id, note.split('\n')[0]!]));
}

export const FLIPS: Readonly<Record<string, FlipClass>> = {
  'object bytes': async (archive, random) => {
    const { rows } = await archive.machine.query<{ digest: string; marks: string[] }>(
      `SELECT s.digest, array(SELECT e.subject FROM entry e WHERE position(s.digest in convert_from(e.bytes, 'UTF8')) > 0) AS marks
       FROM (SELECT digest FROM stored_object) s ORDER BY s.digest`,
    );
    const { digest, marks } = random.pick(rows);
    const undo = fileFlip(objectPath(archive.home, digest), random);
    return {
      what: 'object',
      undo,
      isLocated: (finding) =>
        finding.digest === digest && marks.some((mark) => finding.what?.includes(mark) === true),
    };
  },
  'derived object bytes': async (archive, random) => {
    const { rows } = await archive.machine.query<{ digest: string; mark: string }>(
      `SELECT DISTINCT d.digest, e.subject AS mark FROM derivative d
       JOIN entry e ON position(d.source_digest in convert_from(e.bytes, 'UTF8')) > 0 AND e.type = 'media.attach' ORDER BY 1`,
    );
    const { digest, mark } = random.pick(rows);
    const undo = fileFlip(objectPath(archive.home, digest), random);
    return {
      what: 'derived object',
      undo,
      isLocated: (finding) => finding.digest === digest && finding.what?.includes(mark) === true,
    };
  },
  'entry bytes': (archive, random) =>
    entryFlip(archive, random, [{ name: 'bytes', kind: 'bytea' }]),
  'entry columns': (archive, random) => entryFlip(archive, random, ENTRY_COLUMNS),
  'hashes of the tree': async (archive, random) => {
    const origins = await originsOf(archive);
    return rowFlip(
      archive,
      random,
      'log_tile',
      ['log_id', 'level', 'index'],
      [
        { name: 'hashes', kind: 'bytea' },
        { name: 'hashes', kind: 'bytea' },
        { name: 'root', kind: 'bytea' },
        { name: 'level', kind: 'int' },
        { name: 'index', kind: 'bigint' },
      ],
      (row, after, column) => {
        const [before, now] = [row['hashes'] as Buffer, after['hashes'] as Buffer];
        const at = Math.floor(before.findIndex((byte, i) => byte !== now[i]) / 32);
        const first = 256 * Number(row['index']);
        return (finding) =>
          finding.place === 'node' &&
          finding.log === origins.get(String(row['log_id'])) &&
          (column === 'hashes'
            ? finding.seq === first + at
            : finding.reason.includes(`entries ${first} to ${first + 255} `) ||
              finding.seq === first);
      },
    );
  },
  checkpoints: async (archive, random) => {
    const origins = await originsOf(archive);
    return rowFlip(
      archive,
      random,
      'checkpoint',
      ['log_id', 'size'],
      [
        { name: 'note', kind: 'text' },
        { name: 'note', kind: 'text' },
        { name: 'note', kind: 'text' },
        { name: 'size', kind: 'bigint' },
      ],
      (row, after) => (finding) =>
        finding.place === 'checkpoint' &&
        finding.log === origins.get(String(row['log_id'])) &&
        [row['size'], after['size']].some((size) =>
          finding.reason.includes(`of size ${String(size)}`),
        ),
    );
  },
  'copies of checkpoints': async (archive, random) => {
    const origins = await originsOf(archive);
    const folder = join(archive.home, 'objects', 'named', 'checkpoints');
    const logs = readdirSync(folder).sort();
    const logId = random.pick(logs);
    const sizes = readdirSync(join(folder, logId)).sort();
    const size = random.pick(sizes);
    const undo = fileFlip(join(folder, logId, size), random);
    return {
      what: 'copy of a checkpoint',
      undo,
      isLocated: (finding) =>
        finding.log === origins.get(logId) &&
        finding.reason.startsWith('the copy in the object store') &&
        finding.reason.includes(`of size ${size} `),
    };
  },
  'heads of logs': async (archive, random) => {
    const origins = await originsOf(archive);
    return rowFlip(
      archive,
      random,
      'log',
      ['log_id'],
      [
        { name: 'origin', kind: 'text' },
        { name: 'site_id', kind: 'uuid' },
        { name: 'size', kind: 'bigint' },
        { name: 'root_hash', kind: 'bytea' },
        { name: 'last_at', kind: 'timestamptz' },
      ],
      (row) => (finding) =>
        finding.place === 'log' && finding.log === origins.get(String(row['log_id'])),
    );
  },
  'rows of objects': (archive, random) =>
    rowFlip(
      archive,
      random,
      'stored_object',
      ['digest'],
      [
        { name: 'digest', kind: 'text' },
        { name: 'size_bytes', kind: 'bigint' },
        { name: 'role', kind: 'text' },
        { name: 'first_at', kind: 'timestamptz' },
      ],
      (row, after) => (finding) =>
        (finding.place === 'object' || finding.place === 'object-row') &&
        (finding.digest === row['digest'] || finding.digest === after['digest']),
    ),
  'rows that people read': (archive, random) =>
    rowFlip(
      archive,
      random,
      'finding',
      ['finding_id'],
      [
        { name: 'term', kind: 'text' },
        { name: 'note', kind: 'text' },
        { name: 'happened', kind: 'text' },
        { name: 'in_panel', kind: 'text' },
        { name: 'panel_id', kind: 'uuid' },
        { name: 'finding_id', kind: 'uuid' },
        { name: 'recorded_at', kind: 'timestamptz' },
      ],
      () => (finding) =>
        finding.place === 'projection' &&
        finding.reason.startsWith('a row of finding ') &&
        /^finding on SLM\.wI\.\da/.test(finding.what ?? ''),
    ),
};
