import { createHash, generateKeyPairSync } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { readdir, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type MullionConfig, readConfig } from '#libs/archive';
import { createPool, createTestDatabase, type PgPool } from '#libs/db';
import { type RunningServer, startServer } from '../../apps/server/src/start-server.js';
import { type RunningWorker, startWorker } from '../../apps/worker/src/start-worker.js';

export const TOKEN = 'one-time-token-of-the-test';

/** Environment of a server on a home folder that is there. */
export function environmentOf(home: string, databaseUrl: string) {
  const keyFile = join(home, 'test-key.pem');
  const { privateKey } = generateKeyPairSync('ed25519');
  writeFileSync(keyFile, privateKey.export({ type: 'pkcs8', format: 'pem' }), { mode: 0o600 });
  return {
    DATABASE_URL: databaseUrl,
    MULLION_HOME: home,
    MULLION_PORT: '0',
    MULLION_KEY_FILE: keyFile,
    MULLION_ONE_TIME_TOKEN_DIGEST: createHash('sha256').update(TOKEN).digest('hex'),
  };
}

/** The same with a home and a database of its own. */
export async function testEnvironment(extra: Record<string, string> = {}) {
  const home = mkdtempSync(join(tmpdir(), 'mullion-home-'));
  const database = await createTestDatabase();
  return {
    home,
    ownerUrl: database.ownerUrl,
    env: { ...environmentOf(home, database.applicationUrl), ...extra },
    async drop() {
      await database.drop();
      rmSync(home, { recursive: true, force: true });
    },
  };
}

/** A signed-in person's way to the server. */
export class Client {
  constructor(
    readonly url: string,
    readonly cookie: string,
  ) {}

  fetch(
    path: string,
    init: Omit<RequestInit, 'body'> & { body?: Uint8Array | string } = {},
  ): Promise<Response> {
    const headers = new Headers(init.headers);
    headers.set('Cookie', this.cookie);
    // Node's fetch takes any bytes; the DOM's type wants them in an ArrayBuffer of their own
    const sent = { ...init, headers, redirect: 'manual' } as RequestInit;
    return fetch(`${this.url}${path}`, sent);
  }

  // the caller says what the body is
  // eslint-disable-next-line @typescript-eslint/no-unnecessary-type-parameters
  async json<T = Record<string, unknown>>(
    method: string,
    path: string,
    body?: unknown,
    headers: Record<string, string> = {},
  ): Promise<{ status: number; body: T; headers: Headers }> {
    const response = await this.fetch(path, {
      method,
      headers: {
        ...(body === undefined ? {} : { 'Content-Type': 'application/json' }),
        ...headers,
      },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    const text = await response.text();
    return {
      status: response.status,
      body: (text === '' ? {} : JSON.parse(text)) as T,
      headers: response.headers,
    };
  }
}

/** The first keeper, signed in. */
export async function firstKeeper(url: string): Promise<Client> {
  const response = await fetch(`${url}/v1/first-keeper`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({
      token: TOKEN,
      displayName: 'Studio head',
      login: 'head',
      password: 'a long pass phrase for a test',
    }),
  });
  const cookie = response.headers.get('set-cookie')?.split(';')[0];
  if (cookie === undefined) throw new Error(`no first keeper: ${await response.text()}`);
  return new Client(url, cookie);
}

/** A site with one window of one light, two panels: 1a below 2a. */
export async function addSite(keeper: Client, code = 'SLM'): Promise<{ siteId: string }> {
  const site = await keeper.json<{ siteId: string }>('POST', '/v1/sites', {
    code,
    name: 'Sallowmere Chapel',
    scheme: 'church',
  });
  if (site.status !== 201) throw new Error(JSON.stringify(site.body));
  const { siteId } = site.body;
  const opening = { kind: 'rectangular', widthMm: 500, heightMm: 1200 };
  const window = await keeper.json('POST', `/v1/sites/${siteId}/windows`, {
    mark: 'wI',
    title: 'West window',
    drawing: {
      opening,
      lights: [{ letter: 'a', xMm: 0, yMm: 0, opening, rowHeightsMm: [600, 600] }],
      tracery: [],
      bars: [],
    },
  });
  if (window.status !== 201) throw new Error(JSON.stringify(window.body));
  return { siteId };
}

export interface MediaArchive {
  config: MullionConfig;
  keeper: Client;
  siteId: string;
  pool: PgPool;
  /** Rows and objects that an intake may leave behind. */
  counts(): Promise<Record<string, number>>;
  startWorker(options?: Parameters<typeof startWorker>[1]): Promise<RunningWorker>;
  close(): Promise<void>;
}

/** A running server with a keeper, a site and a window. */
export async function startMediaArchive(extra: Record<string, string> = {}): Promise<MediaArchive> {
  const place = await testEnvironment(extra);
  const config = readConfig(place.env);
  const server: RunningServer = await startServer(config);
  const keeper = await firstKeeper(server.url);
  const { siteId } = await addSite(keeper);
  const pool = createPool(config.databaseUrl, { max: 2 });
  return {
    config,
    keeper,
    siteId,
    pool,
    async counts() {
      const { rows } = await pool.query<Record<string, number>>(
        `SELECT (SELECT count(*)::int FROM entry) AS entries,
                (SELECT count(*)::int FROM media) AS media,
                (SELECT count(*)::int FROM stored_object) AS "storedObjects",
                (SELECT count(*)::int FROM upload) AS uploads,
                (SELECT count(*)::int FROM job_progress) AS jobs,
                (SELECT count(*)::int FROM search_row WHERE kind = 'media') AS findable`,
      );
      return {
        ...rows[0]!,
        objects: await countFiles(join(place.home, 'objects', 'sha256')),
        halfWritten:
          (await countSettled(join(place.home, 'objects', 'incoming'))) +
          (await countFiles(join(place.home, 'uploads'))) +
          (await countFiles(join(place.home, 'scratch'))),
      };
    },
    startWorker: (options) => startWorker(config, options),
    async close() {
      await server.close();
      await pool.end();
      await place.drop();
    },
  };
}

/** A checkpoint is copied to the store behind the answer: what is still on its way a while later was left behind. */
async function countSettled(folder: string): Promise<number> {
  for (let tries = 0; tries < 100; tries++) {
    if ((await countFiles(folder)) === 0) return 0;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  return countFiles(folder);
}

/** The thread that reads a rubbing, without a build. */
export const RUBBING_THREAD_FROM_SOURCE = {
  script: new URL('../../apps/worker/src/read-rubbing-thread.ts', import.meta.url),
  execArgv: ['--import', new URL('../run-source.mjs', import.meta.url).href],
};

/** The thread that assembles shards, likewise. */
export const SHARDS_THREAD_FROM_SOURCE = {
  ...RUBBING_THREAD_FROM_SOURCE,
  script: new URL('../../apps/worker/src/assemble-shards-thread.ts', import.meta.url),
};

export function imageBytes(name: string): Buffer {
  return readFileSync(new URL(`../../fixtures/images/${name}`, import.meta.url));
}

async function countFiles(folder: string): Promise<number> {
  const isThere = await stat(folder).catch(() => undefined);
  if (isThere === undefined) return 0;
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  return entries.filter((entry) => entry.isFile()).length;
}
