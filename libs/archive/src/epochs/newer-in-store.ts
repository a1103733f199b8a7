/**
 * Copies of checkpoints in the object store, against the logs of the database: a database that came
 * back from a backup, or was set back by whoever keeps the machine, is behind them.
 */
import { epochSentence } from '#libs/ledger';
import { Problem } from '#libs/problem';
import { checkpointKey } from '../checkpoint-copy.js';
import { Tx } from '../tx.js';
import { considerCheckpoint, type EpochPorts } from './open-epoch.js';

/**
 * Opens the next epoch of every log that a copy in the store is ahead of. To be called when an
 * archive is opened, before anything is written.
 *
 * @returns what must be said of it, in sentences: epochs that were opened, and copies of a log of this
 * archive by a key that it does not know, as after a restore that is older than a change of the key
 */
export async function tellOfNewerCopies(ports: EpochPorts): Promise<string[]> {
  const tx = new Tx(ports.pool);
  // the store first: a copy is made after its commit, so another server at work is never taken for a loss
  const newest = await newestCopies(ports);
  const said: string[] = [];
  for (const [logId, size] of newest) {
    const log = await tx.first<{ size: number; origin: string }>(
      'SELECT size, origin FROM log WHERE log_id = $1',
      [logId],
    );
    if (log === undefined || log.size >= size) continue;
    const bytes = await ports.objects.readNamed(checkpointKey({ logId, size }));
    if (bytes === undefined) continue;
    const note = new TextDecoder().decode(bytes);
    try {
      const considered = await considerCheckpoint(ports, note, 'store');
      if (considered.state === 'epoch' && considered.isNew) {
        said.push(epochSentence(considered.told));
      }
    } catch (error) {
      // of a store that two archives share, or a file somebody laid there
      if (!(error instanceof Problem)) throw error;
      if (note.startsWith(`${log.origin}\n`)) said.push(unknownKey(log, size));
    }
  }
  return said;
}

function unknownKey(log: { origin: string; size: number }, size: number): string {
  return (
    `The object store holds a checkpoint over ${size} entries of ${log.origin}, which has ${log.size} here; no key that ` +
    'this archive knows signed it. If a backup was restored that is older than a change of the key, restore a newer one.'
  );
}

async function newestCopies({ objects }: EpochPorts): Promise<Map<string, number>> {
  const newest = new Map<string, number>();
  for await (const key of objects.listNamed('checkpoints/')) {
    const [, logId, size] = /^checkpoints\/([^/]+)\/(\d+)$/.exec(key) ?? [];
    if (logId === undefined) continue;
    newest.set(logId, Math.max(newest.get(logId) ?? 0, Number(size)));
  }
  return newest;
}
