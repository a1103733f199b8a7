/** What the archive knows of its backups: for whom they are sealed, which were made, which could not be. */
import type { Tx } from '../tx.js';
import type { BackupReport } from './make-backup.js';
import { type Recipient, recipientSchema } from './recipients.js';

export interface BackupRunRow {
  readonly generation: string;
  /** folder, or s3://bucket */
  readonly place: string;
  readonly madeAt: Date;
  /** on another device than the archive */
  readonly secondDisk: boolean;
  readonly objects: number;
  readonly sizeBytes: number;
  /** objects of the history that the archive's own store had lost */
  readonly absent: number;
}

/** The passphrase's public key, once somebody gave one. */
export async function keptRecipients(tx: Tx): Promise<Recipient[]> {
  const rows = await tx.query<{ recipient: unknown }>(
    'SELECT recipient FROM backup_recipient ORDER BY kind',
  );
  return rows.map(({ recipient }) => recipientSchema.parse(recipient));
}

export async function keepRecipient(tx: Tx, recipient: Recipient, now: Date): Promise<void> {
  await tx.run(
    `INSERT INTO backup_recipient (kind, recipient, set_at) VALUES ($1, $2, $3)
     ON CONFLICT (kind) DO UPDATE SET recipient = EXCLUDED.recipient, set_at = EXCLUDED.set_at`,
    [recipient.kind, JSON.stringify(recipient), now],
  );
}

/** A backup that was made ends the trouble of its place. */
export async function noteBackup(
  tx: Tx,
  { manifest, absent }: BackupReport,
  { place, isSecondDisk }: { place: string; isSecondDisk: boolean },
): Promise<void> {
  await tx.run(
    `INSERT INTO backup_run (generation, place, made_at, second_disk, objects, size_bytes, absent)
     VALUES ($1, $2, $3, $4, $5, $6, $7) ON CONFLICT DO NOTHING`,
    [
      manifest.generation,
      place,
      manifest.madeAt,
      isSecondDisk,
      manifest.objects.count,
      manifest.objects.sizeBytes,
      absent.length,
    ],
  );
  await tx.run('DELETE FROM backup_trouble WHERE place = $1', [place]);
}

export interface BackupTroubleRow {
  readonly place: string;
  /** one sentence */
  readonly says: string;
  readonly since: Date;
  readonly triedAt: Date;
  readonly failures: number;
}

/** A backup that is made by itself and could not be: told until one succeeds in that place. */
export async function noteTrouble(tx: Tx, place: string, says: string, now: Date): Promise<void> {
  await tx.run(
    `INSERT INTO backup_trouble (place, says, since, tried_at, failures) VALUES ($1, $2, $3, $3, 1)
     ON CONFLICT (place) DO UPDATE SET says = EXCLUDED.says, tried_at = EXCLUDED.tried_at,
       failures = backup_trouble.failures + 1`,
    [place, says, now],
  );
}

/** Nothing is tried any more in other places than this (undefined: in none). */
export async function forgetTroubleElsewhere(tx: Tx, place: string | undefined): Promise<void> {
  await tx.run('DELETE FROM backup_trouble WHERE place IS DISTINCT FROM $1', [place ?? null]);
}

export async function standingTrouble(tx: Tx): Promise<BackupTroubleRow | undefined> {
  return tx.first<BackupTroubleRow>('SELECT * FROM backup_trouble ORDER BY tried_at DESC LIMIT 1');
}

/** Whether the newest backup in a place lay on another device than the archive; undefined before the first. */
export async function wasSecondDisk(tx: Tx, place: string): Promise<boolean | undefined> {
  const row = await tx.first<{ secondDisk: boolean }>(
    'SELECT second_disk FROM backup_run WHERE place = $1 ORDER BY made_at DESC LIMIT 1',
    [place],
  );
  return row?.secondDisk;
}

/** The newest backup, those on a second disk first. */
export async function newestBackup(tx: Tx): Promise<BackupRunRow | undefined> {
  return tx.first<BackupRunRow>(
    'SELECT * FROM backup_run ORDER BY second_disk DESC, made_at DESC LIMIT 1',
  );
}

/** When the last backup in a place was made. */
export async function lastBackupAt(tx: Tx, place: string): Promise<Date | undefined> {
  const row = await tx.first<{ madeAt: Date }>(
    'SELECT made_at FROM backup_run WHERE place = $1 ORDER BY made_at DESC LIMIT 1',
    [place],
  );
  return row?.madeAt;
}
