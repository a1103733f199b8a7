/** One question three ways: its statements alone, our route in process, our route by HTTP. */
import { createHash, generateKeyPairSync } from 'node:crypto';
import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { readConfig } from '#libs/archive';
import { createPool } from '#libs/db';
import type { Actor } from '../../../apps/server/src/platform/actor.js';
import { SearchController } from '../../../apps/server/src/search/search.controller.js';
import { SEARCH_SETTINGS, SearchPool } from '../../../apps/server/src/search/search.pool.js';
import * as routes from '../../../apps/server/src/search/search.routes.js';
import { startServer } from '../../../apps/server/src/start-server.js';
import { TOKEN } from '../../support/media-archive.js';
import type { Question } from './questions.js';

interface Statement {
  readonly text: string;
  readonly values: unknown[];
}

export interface Asked {
  inProcess(query: string): Promise<number>;
  byHttp: ((query: string) => Promise<void>) | null;
  /** the statements on search rows that one question sends */
  statementsOf(query: string): Promise<Statement[]>;
  raw(statements: readonly Statement[]): Promise<void>;
  close(): Promise<void>;
}

const PASSWORD = 'a long pass phrase for a test';
const KEEPER: Actor = {
  personId: '0190a0c4-0000-7000-8000-000000000001',
  displayName: 'Studio head',
  login: 'head',
  grants: [{ siteId: null, role: 'keeper', held: 'keeper' }],
  via: 'cookie',
  onlySiteId: null,
  mostRole: null,
};

export async function openAsked(
  home: string,
  databaseUrl: string,
  withHttp: boolean,
): Promise<Asked> {
  const keyFile = join(home, 'bench-key.pem');
  if (!existsSync(keyFile)) {
    const { privateKey } = generateKeyPairSync('ed25519');
    writeFileSync(keyFile, privateKey.export({ type: 'pkcs8', format: 'pem' }), { mode: 0o600 });
  }
  const server = await startServer(
    readConfig({
      DATABASE_URL: databaseUrl,
      MULLION_HOME: home,
      MULLION_PORT: '0',
      MULLION_KEY_FILE: keyFile,
      MULLION_ONE_TIME_TOKEN_DIGEST: createHash('sha256').update(TOKEN).digest('hex'),
    }),
  );
  const controller = server.app.get(SearchController, { strict: false });
  const watched = server.app.get(SearchPool, { strict: false }).pool;
  const cookie = withHttp ? await signedIn(server.url) : '';
  const pool = createPool(databaseUrl, { max: 1, settings: SEARCH_SETTINGS });
  const inProcess = async (text: string) => {
    const query = routes.search.query.parse(parsedQuery(text));
    const told = await controller.search({ actor: KEEPER, query } as never);
    return told.total ?? 0;
  };
  return {
    inProcess,
    byHttp: withHttp
      ? async (query) => {
          const response = await fetch(`${server.url}/v1/search?${query}`, {
            headers: { Cookie: cookie },
          });
          const body = await response.text();
          if (!response.ok) throw new Error(`${query}: ${body}`);
        }
      : null,
    async statementsOf(query) {
      const sent: Statement[] = [];
      const ask = watched.query.bind(watched) as (...args: unknown[]) => unknown;
      // one question at a time: whatever goes by belongs to it
      watched.query = ((text: unknown, values: unknown[], ...rest: unknown[]) => {
        if (typeof text === 'string' && text.includes('search_row')) sent.push({ text, values });
        return ask(text, values, ...rest);
      }) as typeof watched.query;
      try {
        await inProcess(query);
      } finally {
        // its own again: that of its class
        Reflect.deleteProperty(watched, 'query');
      }
      return sent;
    },
    async raw(statements) {
      for (const { text, values } of statements) await pool.query(text, values);
    },
    async close() {
      await pool.end();
      await server.close();
    },
  };
}

/** Milliseconds of each way, the ways taking turns in going first. */
export async function askOver(asked: Asked, question: Question, rounds: number) {
  const times = { raw: [] as number[], ours: [] as number[], http: [] as number[], hits: 0 };
  for (let round = 0; round < rounds; round++) {
    const query = question.of(round);
    const statements = await asked.statementsOf(query); // also warms what all three read
    if (statements.length === 0) throw new Error(`${question.name}: no statement was seen`);
    const ways: (readonly [number[], () => Promise<unknown>])[] = [
      [times.raw, () => asked.raw(statements)],
      [times.ours, async () => (times.hits = Math.max(times.hits, await asked.inProcess(query)))],
      ...(asked.byHttp === null ? [] : [[times.http, () => asked.byHttp!(query)] as const]),
    ];
    for (let i = 0; i < ways.length; i++) {
      const [list, ask] = ways[(i + round) % ways.length]!;
      const before = performance.now();
      await ask();
      list.push(performance.now() - before);
    }
  }
  return times;
}

function parsedQuery(text: string): Record<string, string | string[]> {
  const words = new URLSearchParams(text);
  return Object.fromEntries(
    [...new Set(words.keys())].map((name) => {
      const all = words.getAll(name);
      return [name, all.length === 1 ? all[0]! : all];
    }),
  );
}

async function signedIn(url: string): Promise<string> {
  const post = (path: string, body: object) =>
    fetch(`${url}${path}`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify(body),
    });
  const first = await post('/v1/first-keeper', {
    token: TOKEN,
    displayName: 'Studio head',
    login: 'head',
    password: PASSWORD,
  });
  const session = first.ok
    ? first
    : await post('/v1/session', { login: 'head', password: PASSWORD });
  const cookie = session.headers.get('set-cookie')?.split(';')[0];
  if (cookie === undefined) throw new Error(`nobody is signed in: ${await session.text()}`);
  return cookie;
}
