/** A home as a studio has it, with the embedded database, and a server at work on it. */
import { createHash } from 'node:crypto';
import { type MullionConfig, readConfig } from '#libs/archive';
import { createPool, openHome, type PgPool, startArchiveDatabase } from '#libs/db';
import { startServer } from '../../apps/server/src/start-server.js';
import { TOKEN } from './media-archive.js';

export interface HomeArchive {
  readonly config: MullionConfig;
  readonly url: string;
  /** as the application's role */
  readonly pool: PgPool;
  readonly ownerUrl: string;
  close(): Promise<void>;
}

/** Opens (or makes) the home as the launcher does. */
export async function serveHome(
  path: string,
  extra: Record<string, string> = {},
): Promise<HomeArchive> {
  const home = openHome(path);
  const database = await startArchiveDatabase(home);
  const config = readConfig({
    DATABASE_URL: database.applicationUrl,
    MULLION_HOME: path,
    MULLION_PORT: '0',
    MULLION_KEY_FILE: home.keyFile,
    MULLION_ONE_TIME_TOKEN_DIGEST: createHash('sha256').update(TOKEN).digest('hex'),
    ...extra,
  });
  const server = await startServer(config);
  const pool = createPool(config.databaseUrl, { max: 2 });
  return {
    config,
    url: server.url,
    pool,
    ownerUrl: database.ownerUrl,
    async close() {
      await server.close();
      await pool.end();
      await database.stop();
      home.release();
    },
  };
}
