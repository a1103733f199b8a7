/**
 * What whoever administers the machine can do: change an entry that stands, hash the whole log anew
 * and sign it again with the archive's own key. Inside, nothing contradicts itself any more.
 */
import { createPrivateKey } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { signerFromKey } from '#libs/archive';
import { createPool } from '#libs/db';
import {
  canonicalBytes,
  Frontier,
  leafHash,
  parseEntry,
  signCheckpoint,
  TILE_WIDTH,
} from '#libs/ledger';

/** @param ownerUrl the role that owns the tables */
export async function rewriteHistory(
  ownerUrl: string,
  { logId, seq, keyFile }: { logId: string; seq: number; keyFile: string },
): Promise<void> {
  const pool = createPool(ownerUrl, { max: 1 });
  const client = await pool.connect();
  const signer = signerFromKey(createPrivateKey(readFileSync(keyFile)));
  try {
    await client.query('BEGIN');
    for (const table of ['entry', 'log', 'checkpoint'])
      await client.query(`ALTER TABLE ${table} DISABLE TRIGGER USER`);
    const { rows } = await client.query<{ seq: string; bytes: Buffer }>(
      'SELECT seq, bytes FROM entry WHERE log_id = $1 ORDER BY seq',
      [logId],
    );
    // below that, every hash of the tree is read from the entries
    if (rows.length >= TILE_WIDTH) throw new Error(`a log of ${rows.length} entries has tiles too`);
    const frontier = new Frontier();
    let origin = '';
    for (const row of rows) {
      const entry = parseEntry(new Uint8Array(row.bytes));
      origin = entry.log;
      const isChosen = entry.seq === seq;
      const bytes = isChosen
        ? canonicalBytes({ ...entry, recordedAt: '2001-01-01T00:00:00.000Z' })
        : new Uint8Array(row.bytes);
      const leaf = leafHash(bytes);
      frontier.append(leaf);
      if (isChosen) {
        await client.query(
          'UPDATE entry SET bytes = $3, leaf_hash = $4 WHERE log_id = $1 AND seq = $2',
          [logId, row.seq, Buffer.from(bytes), Buffer.from(leaf)],
        );
      }
    }
    const root = frontier.root();
    const note = await signCheckpoint({ origin, size: frontier.size, root }, signer);
    await client.query('UPDATE log SET root_hash = $2 WHERE log_id = $1', [
      logId,
      Buffer.from(root),
    ]);
    await client.query('UPDATE checkpoint SET note = $3 WHERE log_id = $1 AND size = $2', [
      logId,
      frontier.size,
      note,
    ]);
    for (const table of ['entry', 'log', 'checkpoint'])
      await client.query(`ALTER TABLE ${table} ENABLE TRIGGER USER`);
    await client.query('COMMIT');
  } finally {
    client.release();
    await pool.end();
  }
}
