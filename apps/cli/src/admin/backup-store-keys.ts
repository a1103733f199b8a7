import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Keys of the S3 service that takes backups; without its own, those of the archive's objects. */
export function backupStoreKeys(homePath: string | undefined) {
  const { env } = process;
  const accessKey = env['MULLION_BACKUP_S3_ACCESS_KEY'] ?? env['MULLION_S3_ACCESS_KEY'];
  const secretKey = env['MULLION_BACKUP_S3_SECRET_KEY'] ?? env['MULLION_S3_SECRET_KEY'];
  if (accessKey === undefined || secretKey === undefined) return undefined;
  return { accessKey, secretKey, spoolFolder: join(homePath ?? tmpdir(), 'spool') };
}
