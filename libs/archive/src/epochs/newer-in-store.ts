/**
 * Copies of checkpoints in the object store, against the logs of the database: a database that came
 * back from a backup, or was set back by whoever keeps the machine, is behind them.
 */
import { Problem } from '#libs/problem';
import { checkpointKey } from '../checkpoint-copy.js';
import { Tx } from '../tx.js';
import { considerCheckpoint, type EpochPorts, type OpenedEpoch } from './open-epoch.js';

/**
 * Opens the next epoch of every log that a copy in the store is ahead of. To be called when an
 * archive is opened, before anything is written.
 *
 * @returns the epochs that were opened
 */
export async function tellOfNewerCopies(ports: EpochPorts): Promise<OpenedEpoch[]> {
  const tx = new Tx(ports.pool);
  // the store first: a copy is made after its commit, so another server at work is never taken for a loss
  const newest = await newestCopies(ports);
  const opened: OpenedEpoch[] = [];
  for (const [logId, size] of newest) {
    const log = await tx.first<{ size: number }>('SELECT size FROM log WHERE log_id = $1', [logId]);
    if (log === undefined || log.size >= size) continue;
    const note = await ports.objects.readNamed(checkpointKey({ logId, size }));
    if (note === undefined) continue;
    try {
      const said = await considerCheckpoint(ports, new TextDecoder().decode(note), 'store');
      if (said.state === 'epoch' && said.isNew) opened.push(said);
    } catch (error) {
      // a store that two archives share, or a file somebody laid there: nothing of this archive
      if (!(error instanceof Problem)) throw error;
    }
  }
  return opened;
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
