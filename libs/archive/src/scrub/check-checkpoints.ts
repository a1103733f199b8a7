/** Copies of checkpoints against the database: two places that nobody changes at once unseen. */
import type { TendedStore } from '#libs/objects';
import { checkpointKey, putCheckpoint } from '../checkpoint-copy.js';
import type { Tx } from '../tx.js';
import type { StoreName, Trouble } from './trouble.js';

interface Kept {
  logId: string;
  size: number;
  note: string;
}

/** The copy follows the commit; a young one may still be on its way. */
const ON_ITS_WAY_S = 60;

export async function checkpointTroubles(
  tx: Tx,
  name: StoreName,
  store: TendedStore,
  { isMending, retainMs }: { isMending: boolean; retainMs: number | undefined },
): Promise<{ checkpoints: number; troubles: Trouble[] }> {
  const troubles: Trouble[] = [];
  let checkpoints = 0;
  const tell = (key: string, state: Trouble['state'], mendedFrom: Trouble['mendedFrom'] = null) => {
    const about = { subjects: [], fileName: null, entries: [] };
    troubles.push({ what: key, role: 'checkpoint', store: name, state, mendedFrom, ...about });
  };
  for await (const key of store.listNamed('checkpoints/')) {
    const [, logId = '', size = ''] = key.split('/');
    if (!/^\d+$/.test(size)) continue;
    checkpoints++;
    const [text, kept] = await Promise.all([
      store.readNamed(key),
      tx.first<Kept>('SELECT log_id, size, note FROM checkpoint WHERE log_id = $1 AND size = $2', [
        logId,
        size,
      ]),
    ]);
    if (text === undefined) continue; // removed while we listed
    if (kept === undefined) tell(key, 'unknown-here');
    else if (bodyOf(Buffer.from(text).toString()) !== bodyOf(kept.note)) tell(key, 'other-text');
  }
  const newest = await tx.query<Kept>(
    `SELECT DISTINCT ON (log_id) log_id, size, note FROM checkpoint
     WHERE signed_at < now() - make_interval(secs => $1) ORDER BY log_id, size DESC`,
    [ON_ITS_WAY_S],
  );
  for (const { logId, size, note } of newest) {
    const key = checkpointKey({ logId, size });
    if ((await store.readNamed(key)) !== undefined) continue;
    const ports = { objects: store, retainCheckpointsMs: retainMs };
    if (isMending) await putCheckpoint(ports, { logId, size, note }, new Date());
    tell(key, 'missing', isMending ? 'database' : null);
  }
  return { checkpoints, troubles };
}

/** Origin, size and root; signatures of witnesses may come to a note later (C2SP signed-note). */
function bodyOf(note: string): string {
  const end = note.indexOf('\n\n');
  return end < 0 ? note : note.slice(0, end);
}
