/** A server process on a home of its own, for measuring what goes through HTTP. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openHome, startArchiveDatabase } from '#libs/db';
import { addSite, type Client, environmentOf, firstKeeper } from '../../support/media-archive.js';
import { startServerProcess } from '../../support/server-process.js';

export interface ServedArchive {
  readonly keeper: Client;
  readonly siteId: string;
  readonly ownerUrl: string;
  readonly folder: string;
  close(): Promise<void>;
}

export async function serveArchive(): Promise<ServedArchive> {
  const folder = mkdtempSync(join(tmpdir(), 'mullion-bench-'));
  const database = await startArchiveDatabase(openHome(join(folder, 'home')));
  const server = await startServerProcess(
    environmentOf(join(folder, 'home'), database.applicationUrl),
  );
  const keeper = await firstKeeper(server.url);
  const { siteId } = await addSite(keeper);
  return {
    keeper,
    siteId,
    ownerUrl: database.ownerUrl,
    folder,
    async close() {
      await server.kill();
      await database.stop();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
