/**
 * Projections made anew from the ledger: the same rows, byte for byte, as those written live.
 * Keys, password hashes, sessions, derivatives and jobs are no projections and stay as they are.
 */
import { parseEntry, placeInHistory } from '#libs/ledger';
import type { ObjectStore } from '#libs/objects';
import type { ProjectedEntry, ProjectionPorts } from './command.js';
import * as commands from './commands/index.js';
import { PROJECTIONS } from './tables.js';
import { type SqlPool, Tx } from './tx.js';
import { newestPayload } from './upcasters/newest-payload.js';

type Project = (entry: ProjectedEntry<never>, tx: Tx, ports: ProjectionPorts) => Promise<void>;

interface StoredEntry {
  logId: string;
  siteId: string | null;
  epoch: number;
  bytes: Buffer;
}

const ENTRIES_AT_ONCE = 500;

/** How each type of entry is projected, by the very function that did it live. */
function projectors(): ReadonlyMap<string, Project> {
  const found = new Map<string, Project>();
  for (const command of Object.values(commands)) {
    if (typeof command !== 'object' || !('project' in command)) continue;
    const known = command as { type: string; project: Project };
    found.set(known.type, (entry, tx, ports) => known.project(entry, tx, ports));
  }
  return found;
}

/**
 * Empties the projections and fills them again, in one transaction: readers see the old rows until
 * it is done, writers wait.
 *
 * @returns entries read
 * @throws Error for an entry of a type, or a payload of a version, that this program does not know;
 *   nothing is changed then
 */
export async function rebuildProjections(pool: SqlPool, objects: ObjectStore): Promise<number> {
  const client = await pool.connect();
  const tx = new Tx(client);
  try {
    await tx.run('BEGIN');
    const count = await projectAll(tx, objects);
    await tx.run('COMMIT');
    client.release();
    return count;
  } catch (error) {
    client.release(true);
    throw error;
  }
}

/** The same inside a transaction that the caller ends. */
export async function projectAll(tx: Tx, objects: ObjectStore): Promise<number> {
  const byType = projectors();
  // As an append does: whoever holds a log's row writes.
  await tx.query('SELECT log_id FROM log ORDER BY log_id FOR UPDATE');
  for (const table of Object.keys(PROJECTIONS)) await tx.run(`DELETE FROM "${table}"`);
  let count = 0;
  for (const log of await tx.query<{ logId: string; siteId: string | null; epoch: number }>(
    'SELECT log_id, site_id, epoch FROM log ORDER BY site_id NULLS FIRST, epoch',
  )) {
    for (let from = 0; ; from += ENTRIES_AT_ONCE) {
      const rows = await tx.query<StoredEntry>(
        `SELECT log_id, $2::uuid AS site_id, $5::int AS epoch, bytes FROM entry
         WHERE log_id = $1 AND seq >= $3 ORDER BY seq LIMIT $4`,
        [log.logId, log.siteId, from, ENTRIES_AT_ONCE, log.epoch],
      );
      for (const row of rows) await projectOne(row, byType, tx, objects);
      count += rows.length;
      if (rows.length < ENTRIES_AT_ONCE) break;
    }
  }
  return count;
}

async function projectOne(
  { logId, siteId, epoch, bytes }: StoredEntry,
  byType: ReadonlyMap<string, Project>,
  tx: Tx,
  objects: ObjectStore,
): Promise<void> {
  const entry = parseEntry(new Uint8Array(bytes));
  const project = byType.get(entry.type);
  if (project === undefined) {
    throw new Error(
      `entry ${entry.seq} of ${entry.log} is a ${entry.type}, which this version does not know: use the version that wrote it, or a newer one`,
    );
  }
  const { seq: index, type, subject, actorId, happened, recordedAt } = entry;
  const projected = {
    logId,
    origin: entry.log,
    siteId,
    seq: placeInHistory(epoch, index),
    index,
    type,
    subject,
    actorId,
    happened,
    recordedAt: new Date(recordedAt),
    payload: newestPayload(entry) as never,
  };
  await project(projected, tx, { objects });
}
