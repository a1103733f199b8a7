/** An archive whose parts are processes of their own, to be killed: a keeper, a site with a window, a look at its rows. */
import { createPool, type PgPool } from '#libs/db';
import { addSite, Client, firstKeeper, testEnvironment } from './media-archive.js';
import { type ServerProcess, startServerProcess } from './server-process.js';

export interface KillableArchive {
  readonly home: string;
  readonly siteId: string;
  readonly pool: PgPool;
  /** signed in at the server that runs now */
  readonly keeper: Client;
  /** kill -9, and another server on the same home */
  restartServer(): Promise<void>;
  startWorker(): Promise<ServerProcess>;
  close(): Promise<void>;
}

export async function startKillableArchive(): Promise<KillableArchive> {
  const place = await testEnvironment();
  let server = await startServerProcess(place.env);
  let keeper = await firstKeeper(server.url);
  const { siteId } = await addSite(keeper);
  const pool = createPool(place.env.DATABASE_URL, { max: 1 });
  return {
    home: place.home,
    siteId,
    pool,
    get keeper() {
      return keeper;
    },
    async restartServer() {
      await server.kill();
      server = await startServerProcess(place.env);
      keeper = new Client(server.url, keeper.cookie);
    },
    startWorker: () => startServerProcess(place.env, 'worker'),
    async close() {
      await server.kill();
      await pool.end();
      await place.drop();
    },
  };
}
