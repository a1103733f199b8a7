/** Every object in every store: is it there, has it its size, is it still the bytes of its digest? */
import { createHash } from 'node:crypto';
import { type ObjectStore, ObjectStoreError } from '#libs/objects';
import type { Tx } from '../tx.js';

/** `none`: not looked at. `sample`: all looked for, some hashed. `all`: all hashed. */
export type ObjectsMode = 'none' | 'sample' | 'all';

export interface NamedStore {
  /** how to call it: primary, replica */
  name: string;
  store: ObjectStore;
}

export interface ObjectFaultFound {
  digest: string;
  store: string;
  reason: string;
  /** digest of the object that it was derived from */
  derivedFrom?: string;
}

export interface ObjectsChecked {
  named: number;
  derived: number;
  hashed: number;
  bytes: number;
  withdrawn: number;
  faults: ObjectFaultFound[];
}

interface Row {
  digest: string;
  sizeBytes: number;
  sourceDigest: string | null;
  isHashed: boolean;
}

const ROWS_A_PAGE = 500;
const CHUNK_BYTES = 4 * 1024 * 1024;
/** About so many objects of all are hashed in a sample, other ones at every run. */
const SAMPLE = 200;
const FAULTS_MAX = 1000;

export async function checkObjects(
  tx: Tx,
  stores: readonly NamedStore[],
  mode: Exclude<ObjectsMode, 'none'>,
  onProgress: (done: number, total: number) => void,
): Promise<ObjectsChecked> {
  const result: ObjectsChecked = {
    named: 0,
    derived: 0,
    hashed: 0,
    bytes: 0,
    withdrawn: 0,
    faults: [],
  };
  const withdrawn = await withdrawnDigests(tx);
  const total = (await tx.first<{ n: number }>(`SELECT count(*) AS n FROM (${OBJECTS}) o`))!.n;
  const share = mode === 'all' ? 1 : Math.min(1, SAMPLE / Math.max(1, total));
  let after = '';
  let done = 0;
  for (;;) {
    const rows = await tx.query<Row>(
      `SELECT digest, size_bytes, source_digest, random() < $3 AS is_hashed FROM (${OBJECTS}) o
       WHERE digest > $1 ORDER BY digest LIMIT $2`,
      [after, ROWS_A_PAGE, share],
    );
    for (const row of rows) {
      await checkOne(row, stores, withdrawn, result);
      done += 1;
      onProgress(done, total);
    }
    if (rows.length < ROWS_A_PAGE) return result;
    after = rows.at(-1)!.digest;
  }
}

/** What entries name, and what was derived from it; an object that is both counts as named. */
const OBJECTS = `
  SELECT digest, size_bytes, NULL::text AS source_digest FROM stored_object
  UNION ALL
  SELECT DISTINCT ON (d.digest) d.digest, d.size_bytes, d.source_digest FROM derivative d
  WHERE NOT EXISTS (SELECT 1 FROM stored_object s WHERE s.digest = d.digest)`;

async function checkOne(
  row: Row,
  stores: readonly NamedStore[],
  withdrawn: ReadonlySet<string>,
  result: ObjectsChecked,
): Promise<void> {
  if (withdrawn.has(row.digest)) {
    result.withdrawn += 1;
    return;
  }
  if (row.sourceDigest === null) result.named += 1;
  else result.derived += 1;
  for (const { name, store } of stores) {
    const reason = await problemOf(row, store, result);
    if (reason === undefined || result.faults.length >= FAULTS_MAX) continue;
    result.faults.push({
      digest: row.digest,
      store: name,
      reason,
      ...(row.sourceDigest !== null && { derivedFrom: row.sourceDigest }),
    });
  }
}

async function problemOf(
  { digest, sizeBytes, isHashed }: Row,
  store: ObjectStore,
  result: ObjectsChecked,
): Promise<string | undefined> {
  if (!/^sha256:[0-9a-f]{64}$/.test(digest)) return 'the row names no digest';
  let found: number;
  try {
    found = await store.sizeOf(digest);
    if (isHashed) {
      result.hashed += 1;
      result.bytes += found;
      if ((await hashOf(store, digest, found)) !== digest) return 'the object was changed';
    }
  } catch (cause) {
    if (cause instanceof ObjectStoreError && cause.fault === 'object-missing') {
      return 'the object is missing';
    }
    return `the object cannot be read: ${cause instanceof Error ? cause.message : String(cause)}`;
  }
  return found === sizeBytes
    ? undefined
    : `the object has ${found} bytes, ${sizeBytes} are on record`;
}

/** In parts as they lie there: a store that mends what it reads would hide what is to be found. */
async function hashOf(store: ObjectStore, digest: string, sizeBytes: number): Promise<string> {
  const hash = createHash('sha256');
  for (let at = 0; at < sizeBytes; at += CHUNK_BYTES) {
    hash.update(await store.readRange(digest, at, Math.min(sizeBytes, at + CHUNK_BYTES)));
  }
  return `sha256:${hash.digest('hex')}`;
}

/** Originals whose bytes were destroyed on purpose, and what was derived from them. */
async function withdrawnDigests(tx: Tx): Promise<Set<string>> {
  const table = await tx.first<{ found: string | null }>(
    `SELECT to_regclass('withdrawn_object')::text AS found`,
  );
  if (table?.found == null) return new Set();
  const rows = await tx.query<{ digest: string }>('SELECT digest FROM withdrawn_object');
  return new Set(rows.map((row) => row.digest));
}

/**
 * Rows of `stored_object` against the entries: each says the role and time of an entry that names it,
 * and no entry names an object without a row. Only where every entry could be read.
 */
export function objectRowProblems(tx: Tx): Promise<{ digest: string; reason: string }[]> {
  return tx.query(
    `WITH named AS (
       SELECT one ->> 'digest' AS digest, one ->> 'role' AS role, e.recorded_at
       FROM entry e, jsonb_array_elements(convert_from(e.bytes, 'UTF8')::jsonb -> 'objects') AS one
     )
     SELECT s.digest, 'its row (role ' || s.role || ') is not as any entry names it' AS reason
     FROM stored_object s LEFT JOIN named n
       ON n.digest = s.digest AND n.role = s.role AND n.recorded_at = s.first_at
     WHERE n.digest IS NULL
     UNION ALL
     SELECT DISTINCT n.digest, 'an entry names it, but there is no row of it'
     FROM named n LEFT JOIN stored_object s USING (digest) WHERE s.digest IS NULL
     LIMIT 100`,
  );
}
