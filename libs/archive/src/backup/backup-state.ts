/** What the archive knows of its backups: for whom they are sealed, and which were made. */
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
