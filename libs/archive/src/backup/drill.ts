/**
 * The drill: a restore that nobody needed yet. The place of the backups keeps a note of each restore out
 * of it, and the next backup run tells the archive, so that nobody has to remember when it was tried.
 * The note is a reminder, no evidence: who can write to the place can write one.
 */
import { randomBytes } from 'node:crypto';
import { z } from 'zod';
import type { Tx } from '../tx.js';
import type { BackupPlace } from './backup-place.js';

const FOLDER = 'restores/';

export const DRILL_OPENERS = ['passphrase', 'words'] as const;

const noteSchema = z.object({
  generation: z.string().max(100),
  restoredAt: z.iso.datetime(),
  openedWith: z.enum(DRILL_OPENERS),
});
export type DrillNote = z.infer<typeof noteSchema>;

/** @throws what the store throws: a place may be there to be read only */
export async function leaveDrillNote({ store }: BackupPlace, note: DrillNote): Promise<void> {
  const key = `${FOLDER}${note.restoredAt.replace(/[^\dTZ]/g, '')}-${randomBytes(3).toString('hex')}`;
  await store.putNamed(key, new TextEncoder().encode(JSON.stringify(note)));
}

/** Tells the archive of the restores that were made out of a place. */
export async function learnOfDrills(tx: Tx, { store }: BackupPlace, place: string): Promise<void> {
  for await (const key of store.listNamed(FOLDER)) {
    const bytes = await store.readNamed(key);
    const note = noteSchema.safeParse(bytes === undefined ? undefined : parsed(bytes));
    if (!note.success) continue; // cut short, or not ours
    const { restoredAt, generation, openedWith } = note.data;
    await tx.run(
      `INSERT INTO backup_drill (place, restored_at, generation, opened_with) VALUES ($1, $2, $3, $4)
       ON CONFLICT DO NOTHING`,
      [place, restoredAt, generation, openedWith],
    );
  }
}

export interface DrillRow {
  readonly place: string;
  readonly restoredAt: Date;
  readonly generation: string;
  readonly openedWith: (typeof DRILL_OPENERS)[number];
}

export async function newestDrill(tx: Tx): Promise<DrillRow | undefined> {
  return tx.first<DrillRow>('SELECT * FROM backup_drill ORDER BY restored_at DESC LIMIT 1');
}

function parsed(bytes: Uint8Array): unknown {
  try {
    return JSON.parse(new TextDecoder().decode(bytes));
  } catch {
    return undefined;
  }
}
