/**
 * The strongest forger that one machine can hold: rewrites a site's history from an early entry on and
 * makes everything fit again — leaf hashes, tiles, head, every checkpoint, the copies in the object store.
 */

import type { KeyObject } from 'node:crypto';
import { cpSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { signerFromKey } from '#libs/archive';
import {
  announcedKey,
  bytesOfBase64,
  type Entry,
  entryBytes,
  Frontier,
  hashesInTile,
  keyOfLog,
  leafHash,
  parseEntry,
  readAnnouncement,
  signCheckpoint,
} from '#libs/ledger';
import type { SampleArchive } from './sample-archive.js';

interface Forgery {
  /** signs every checkpoint again */
  key: KeyObject;
  /** whether the copies in the object store are written anew too */
  withCopies: boolean;
  /** how many entries of the site's log stay; all of them when left out */
  keep?: number;
}

const TABLES = ['entry', 'log_tile', 'checkpoint', 'log'];

/** @returns what brings the true archive back */
export async function forge(
  { machine, home, siteId }: SampleArchive,
  { key, withCopies, keep }: Forgery,
): Promise<() => Promise<void>> {
  const copies = join(home, 'objects', 'named', 'checkpoints');
  const saved = mkdtempSync(join(tmpdir(), 'forge-'));
  cpSync(copies, saved, { recursive: true });
  for (const table of TABLES) {
    await machine.query(`CREATE TABLE "true_${table}" AS SELECT * FROM "${table}"`);
  }
  const signer = signerFromKey(key);
  const { rows: logs } = await machine.query<{ log_id: string; origin: string }>(
    'SELECT log_id, origin FROM log ORDER BY site_id NULLS FIRST',
  );
  const newLeaves = new Map<string, Uint8Array[]>();
  for (const { log_id: logId, origin } of logs) {
    if (keep !== undefined && logId === siteId) await cut(logId, keep);
    const { rows } = await machine.query<{ seq: string; bytes: Buffer }>(
      'SELECT seq, bytes FROM entry WHERE log_id = $1 ORDER BY seq',
      [logId],
    );
    const { rows: signed } = await machine.query<{ size: string }>(
      'SELECT size FROM checkpoint WHERE log_id = $1',
      [logId],
    );
    const sizes = new Set(signed.map(({ size }) => Number(size)));
    const frontier = new Frontier();
    const leaves: Uint8Array[] = [];
    for (const { seq, bytes } of rows) {
      const forged = entryBytes(rewritten(parseEntry(new Uint8Array(bytes))));
      const leaf = leafHash(forged);
      leaves.push(leaf);
      frontier.append(leaf);
      await machine.query(
        'UPDATE entry SET bytes = $3, leaf_hash = $4 WHERE log_id = $1 AND seq = $2',
        [logId, seq, Buffer.from(forged), Buffer.from(leaf)],
      );
      const size = leaves.length;
      if (!sizes.has(size)) continue;
      const note = await signCheckpoint({ origin, size, root: frontier.root() }, signer);
      await machine.query('UPDATE checkpoint SET note = $3 WHERE log_id = $1 AND size = $2', [
        logId,
        size,
        note,
      ]);
      if (withCopies && copyNames(logId).includes(String(size))) {
        writeOver(join(copies, logId, String(size)), note);
      }
    }
    newLeaves.set(origin, leaves);
    await tiles(logId, leaves);
    await machine.query(
      `UPDATE log SET root_hash = $2, size = $3,
         last_at = (SELECT max(recorded_at) FROM entry WHERE log_id = $1) WHERE log_id = $1`,
      [logId, Buffer.from(frontier.root()), leaves.length],
    );
  }
  return async () => {
    for (const table of TABLES) {
      await machine.query(`DELETE FROM "${table}"`);
      await machine.query(`INSERT INTO "${table}" SELECT * FROM "true_${table}"`);
      await machine.query(`DROP TABLE "true_${table}"`);
    }
    rmSync(copies, { recursive: true });
    cpSync(saved, copies, { recursive: true });
    rmSync(saved, { recursive: true });
  };

  function copyNames(logId: string): string[] {
    return readdirSync(join(copies, logId));
  }

  async function cut(logId: string, size: number): Promise<void> {
    await machine.query('DELETE FROM entry WHERE log_id = $1 AND seq >= $2', [logId, size]);
    await machine.query('DELETE FROM checkpoint WHERE log_id = $1 AND size > $2', [logId, size]);
    await machine.query('DELETE FROM log_tile WHERE log_id = $1', [logId]);
    const { rows } = await machine.query<{ size: string }>(
      'SELECT max(size) AS size FROM checkpoint WHERE log_id = $1',
      [logId],
    );
    await machine.query('DELETE FROM entry WHERE log_id = $1 AND seq >= $2', [
      logId,
      Number(rows[0]!.size),
    ]);
  }

  async function tiles(logId: string, leaves: readonly Uint8Array[]): Promise<void> {
    for (let index = 0; (index + 1) * 256 <= leaves.length; index++) {
      const hashes = Buffer.concat(leaves.slice(index * 256, (index + 1) * 256));
      const frontier = new Frontier();
      for (const leaf of hashesInTile(hashes, 256)!) frontier.append(leaf.slice());
      await machine.query(
        'UPDATE log_tile SET hashes = $3, root = $4 WHERE log_id = $1 AND level = 0 AND index = $2',
        [logId, index, hashes, Buffer.from(frontier.root())],
      );
    }
  }

  /** Findings are told otherwise; references follow the new leaves, announcements the forger's key. */
  function rewritten(entry: Entry): Entry {
    const refs = entry.refs.map((ref) => {
      const leaf = newLeaves.get(ref.origin)?.[ref.index];
      return leaf === undefined ? ref : { ...ref, leafHash: Buffer.from(leaf).toString('hex') };
    });
    if (entry.type === 'key.announce') {
      const said = readAnnouncement(entry.payload)!;
      const place = { origin: entry.log, seq: entry.seq };
      const successor = keyOfLog(said.successor, entry.log)!;
      const sealing = bytesOfBase64(said.sealing)!;
      const payload = announcedKey(place, signer, { successor, sealing });
      return { ...entry, refs, payload: payload as never };
    }
    if (entry.type !== 'finding.record') return { ...entry, refs };
    return {
      ...entry,
      refs,
      payload: { ...(entry.payload as object), note: 'nothing to see' },
    };
  }
}

function writeOver(path: string, text: string): void {
  rmSync(path);
  writeFileSync(path, text);
}
