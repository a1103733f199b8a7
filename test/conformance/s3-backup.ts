/** A backup to a real S3 service, read back, and an archive made from it. */
import { chmodSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { isDeepStrictEqual } from 'node:util';
import { openObjectStore } from '#libs/objects';
import { everyRow } from '../support/every-row.js';
import { serveHome } from '../support/home-archive.js';
import { addSite, firstKeeper, imageBytes } from '../support/media-archive.js';
import { mullion } from '../support/run-command.js';
import type { S3Service } from '../support/s3-service.js';
import { check } from './check.js';

const BUCKET = 'mullion-backups';

export async function checkBackupToS3({
  endpoint,
  accessKey,
  secretKey,
}: S3Service): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 's3-backup-'));
  chmodSync(folder, 0o755);
  const place = `s3://${BUCKET}?endpoint=${endpoint}`;
  const home = join(folder, 'home');
  const passphrase = { MULLION_BACKUP_PASSPHRASE: 'five quarries under the ivy' };
  const keys = { MULLION_BACKUP_S3_ACCESS_KEY: accessKey, MULLION_BACKUP_S3_SECRET_KEY: secretKey };
  const env = { ...passphrase, ...keys };
  const archive = await serveHome(home);
  try {
    const keeper = await firstKeeper(archive.url);
    const { siteId } = await addSite(keeper);
    const path = `/v1/sites/${siteId}/media?fileName=a.jpg&kind=photograph&subjects=SLM.wI.1a`;
    const headers = { 'Content-Type': 'image/jpeg' };
    await keeper.fetch(path, { method: 'PUT', body: imageBytes('with-place.jpg'), headers });

    const keyless = await mullion(['admin', 'backup', place, '--home', home], { env: passphrase });
    check(
      'a backup to S3 without keys is refused in words',
      keyless.status === 1 && !/^\s+at /m.test(keyless.err),
      keyless.err,
    );
    const made = await mullion(['admin', 'backup', place, '--home', home], { env });
    check('a backup goes to S3', made.status === 0, made.err);
    check('its place is told without keys or options', made.out.startsWith(`s3://${BUCKET}: `));
    const again = await mullion(['admin', 'backup', place, '--home', home], { env });
    check(
      'a second one copies nothing again',
      / objects, 0 of them new/.test(again.out),
      again.out,
    );
    const read = await mullion(['admin', 'backup', place, '--verify'], { env });
    check('it is read back whole', read.status === 0, read.out);
    const before = await everyRow(archive.pool);

    const second = join(folder, 'second');
    const restored = await mullion(['admin', 'restore', place, '--home', second], { env });
    check('an archive is made from it', restored.status === 0, restored.err);
    await checkSameRows(second, before);

    const learned = await mullion(['admin', 'backup', place, '--home', home], { env });
    const { rows } = await archive.pool.query<{ opened_with: string }>(
      'SELECT opened_with FROM backup_drill',
    );
    check(
      'the bucket tells the archive of that restore',
      learned.status === 0 && isDeepStrictEqual(rows, [{ opened_with: 'passphrase' }]),
    );
    await checkDamage(place, { accessKey, secretKey, spoolFolder: join(folder, 'spool') }, env);
  } finally {
    await archive.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

async function checkSameRows(home: string, before: Map<string, string[]>): Promise<void> {
  const restored = await serveHome(home);
  try {
    const after = await everyRow(restored.pool);
    // what the runs themselves note: backups after their moment, the restore
    for (const table of ['public.backup_run', 'public.restore_mark']) {
      before.delete(table);
      after.delete(table);
    }
    const differing = [...before].filter(
      ([table, rows]) => !isDeepStrictEqual(after.get(table), rows),
    );
    check('every row came back', differing.length === 0, differing.map(([name]) => name).join());
  } finally {
    await restored.close();
  }
}

/** An object that is lost in the bucket is named. */
async function checkDamage(
  place: string,
  access: { accessKey: string; secretKey: string; spoolFolder: string },
  env: Record<string, string>,
): Promise<void> {
  const store = await openObjectStore(place, access);
  let lost = '';
  for await (const { digest } of store.list()) {
    lost = digest;
    break;
  }
  await store.destroy(lost);
  const read = await mullion(['admin', 'backup', place, '--verify'], { env });
  check(
    'an object that is lost in the bucket is named',
    read.status === 4 && read.out.includes(`${lost} is missing`),
    read.out,
  );
}
