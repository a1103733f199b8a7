/**
 * A history as one version of the program wrote it, kept as files: `entries.jsonl` (each line the
 * canonical bytes of one entry, log after log), `objects/<sha-256>` (what the entries name),
 * `keys.json` (what opens the names of those who were not erased) and `rows.json` (the rows that this
 * version showed).
 */
import { existsSync } from 'node:fs';
import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { buffer } from 'node:stream/consumers';
import { STUDIO_LOG } from '#libs/archive';
import type { PgPool } from '#libs/db';
import { type Entry, Frontier, leafHash, parseEntry } from '#libs/ledger';
import type { ObjectStore } from '#libs/objects';
import { projectionDump } from './projection-dump.js';

interface Line {
  readonly bytes: Uint8Array;
  readonly entry: Entry;
}

export async function writeLedgerFixture(
  pool: PgPool,
  objects: ObjectStore,
  folder: string,
): Promise<void> {
  const { rows } = await pool.query<{ bytes: Buffer }>(
    'SELECT bytes FROM entry JOIN log USING (log_id) ORDER BY site_id NULLS FIRST, log_id, seq',
  );
  await mkdir(join(folder, 'objects'), { recursive: true });
  await writeFile(
    join(folder, 'entries.jsonl'),
    rows.map(({ bytes }) => `${bytes.toString('utf8')}\n`).join(''),
  );
  const stored = await pool.query<{ digest: string }>('SELECT digest FROM stored_object');
  for (const { digest } of stored.rows) {
    const bytes = await buffer(await objects.read(digest));
    await writeFile(join(folder, 'objects', digest.slice('sha256:'.length)), bytes);
  }
  const keys = await pool.query<{ subject_id: string; key: string; name: string }>(
    `SELECT subject_id, encode(key, 'hex') AS key, name FROM keeping.subject_key ORDER BY 1`,
  );
  await writeFile(join(folder, 'keys.json'), `${JSON.stringify(keys.rows, null, 1)}\n`);
  const dump = await projectionDump(pool);
  await writeFile(join(folder, 'rows.json'), `${JSON.stringify(dump, null, 1)}\n`);
}

export async function readLedgerFixture(folder: string): Promise<Line[]> {
  const text = await readFile(join(folder, 'entries.jsonl'), 'utf8');
  return text
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => {
      const bytes = new TextEncoder().encode(line);
      return { bytes, entry: parseEntry(bytes) };
    });
}

/**
 * Puts the history into an empty database and its objects into a store, as if it had been written
 * there; rows that people read are not made.
 *
 * @param pool of the application's role
 */
export async function loadLedgerFixture(
  folder: string,
  pool: PgPool,
  objects: ObjectStore,
): Promise<void> {
  for (const name of await readdir(join(folder, 'objects'))) {
    await objects.put(await readFile(join(folder, 'objects', name)), {
      expectedDigest: `sha256:${name}`,
    });
  }
  const keys = join(folder, 'keys.json');
  if (existsSync(keys)) {
    await pool.query(
      `INSERT INTO keeping.subject_key (subject_id, key, name, made_at)
       SELECT subject_id, decode(key, 'hex'), name, now()
       FROM jsonb_to_recordset($1::jsonb) AS kept(subject_id uuid, key text, name text)`,
      [await readFile(keys, 'utf8')],
    );
  }
  const byOrigin = new Map<string, Line[]>();
  for (const line of await readLedgerFixture(folder)) {
    const lines = byOrigin.get(line.entry.log) ?? [];
    byOrigin.set(line.entry.log, [...lines, line]);
  }
  for (const [origin, lines] of byOrigin) {
    const siteId = siteOf(lines);
    const logId = siteId ?? STUDIO_LOG;
    const frontier = new Frontier();
    await pool.query(
      `INSERT INTO log (log_id, origin, site_id, size, root_hash, last_at) VALUES ($1, $2, $3, 0, $4, $5)`,
      [logId, origin, siteId, Buffer.from(frontier.root()), new Date(0)],
    );
    for (const { bytes, entry } of lines) {
      const leaf = leafHash(bytes);
      frontier.append(leaf, () => undefined);
      await pool.query(
        `INSERT INTO entry (log_id, seq, type, subject, actor_id, happened, recorded_at, bytes, leaf_hash)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
        [
          logId,
          entry.seq,
          entry.type,
          entry.subject,
          entry.actorId,
          entry.happened,
          entry.recordedAt,
          Buffer.from(bytes),
          Buffer.from(leaf),
        ],
      );
    }
    await pool.query('UPDATE log SET size = $2, root_hash = $3, last_at = $4 WHERE log_id = $1', [
      logId,
      lines.length,
      Buffer.from(frontier.root()),
      lines.at(-1)!.entry.recordedAt,
    ]);
  }
}

/** Only the log of a site holds the entry that adds one. */
function siteOf(lines: readonly Line[]): string | null {
  const added = lines.find(({ entry }) => entry.type === 'site.add');
  return added === undefined ? null : (added.entry.payload as { siteId: string }).siteId;
}
