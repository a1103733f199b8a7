import supertest from 'supertest';
import { type MullionConfig, type Role, readConfig } from '#libs/archive';
import { createPool, type PgPool } from '#libs/db';
import { type RunningServer, startServer } from '../../apps/server/src/start-server.js';
import { type RunningWorker, startWorker } from '../../apps/worker/src/start-worker.js';
import {
  firstKeeper,
  RUBBING_THREAD_FROM_SOURCE,
  SHARDS_THREAD_FROM_SOURCE,
  testEnvironment,
} from './media-archive.js';

export const PASSWORD = 'a long pass phrase for a test';

/** Width and height of every light below, mm. */
export const LIGHT = { kind: 'rectangular', widthMm: 480, heightMm: 1200 } as const;

/** Two lights of two rows: panels 1a, 1b, 2a, 2b. */
export const TWO_LIGHTS = {
  opening: { kind: 'rectangular', widthMm: 1000, heightMm: 1200 },
  lights: [
    { letter: 'a', xMm: 0, yMm: 0, opening: LIGHT, rowHeightsMm: [600, 600] },
    { letter: 'b', xMm: 520, yMm: 0, opening: LIGHT, rowHeightsMm: [600, 600] },
  ],
  tracery: [],
  bars: [],
};

/** Two pieces side by side, 200 × 300 mm each along the centre lines. */
export function twoPieces() {
  const places: readonly (readonly [number, number])[] = [
    [0, 0],
    [200, 0],
    [400, 0],
    [400, 300],
    [200, 300],
    [0, 300],
  ];
  const lead = (from: number, to: number, kind = 'outer') => ({
    from,
    to,
    kind,
    lineMm: [places[from]!, places[to]!],
    faceWidthMm: 6,
  });
  return {
    nodes: places.map((xyMm) => ({ xyMm })),
    leads: [
      lead(0, 1),
      lead(1, 2),
      lead(2, 3),
      lead(3, 4),
      lead(4, 5),
      lead(5, 0),
      lead(1, 4, 'came'),
    ],
  };
}

/** What was answered, when it was answered with this status. */
export async function answer<T>(ask: Ask, status: number): Promise<T> {
  const told = await ask;
  if (told.status !== status) {
    throw new Error(`${told.status} instead of ${status}: ${JSON.stringify(told.body)}`);
  }
  return told.body as T;
}

/** The first drawing of a panel that has none: {@link twoPieces}, not signed. */
export async function drawTwoPieces(
  { keeper }: Pick<ApiArchive, 'keeper'>,
  panelId: string,
): Promise<void> {
  const drawn = keeper.post(
    `/v1/panels/${panelId}/nets`,
    { sketch: twoPieces(), note: 'drawn for a test' },
    { 'If-Match': '"0"' },
  );
  await answer(drawn, 201);
}

export interface ShownWindow {
  readonly windowId: string;
  /** panel ids by the panels' marks in the window */
  readonly panels: Record<string, string>;
}

export interface ApiArchive {
  readonly config: MullionConfig;
  readonly url: string;
  /** the keeper's, for what supertest is not made for */
  readonly cookie: string;
  /** as the application's role */
  readonly pool: PgPool;
  readonly keeper: Person;
  /** Nobody: no cookie, no token. */
  readonly anyone: Person;
  /** connection string of the owner's role, for looking at what the application may not */
  readonly ownerUrl: string;
  /** A person who is there already, by {@link PASSWORD}. */
  signIn(login: string): Promise<Person>;
  /** Adds a person with a role (null: nowhere) and signs in. */
  person(login: string, role: Role | null, siteId?: string | null): Promise<Person>;
  /** A site with one window of four panels. */
  site(code: string): Promise<{ siteId: string } & ShownWindow>;
  /** Another such window on a site. */
  window(siteId: string, mark: string, title: string): Promise<ShownWindow>;
  startWorker(): Promise<RunningWorker>;
  close(): Promise<void>;
}

/** An answer whose body is not believed before it is looked at. */
export type Told = Omit<supertest.Response, 'body' | 'headers'> & {
  readonly body: unknown;
  readonly headers: Readonly<Record<string, string>>;
};

/** A request of supertest that answers {@link Told}. */
export interface Ask extends PromiseLike<Told> {
  expect(wanted: number | ((told: Told) => unknown)): Ask;
  set(name: string, value: string): Ask;
  set(headers: Readonly<Record<string, string>>): Ask;
  send(body: string | object): Ask;
}

/** One person's way to the server, by supertest. */
export class Person {
  constructor(
    private readonly url: string,
    private readonly headers: Readonly<Record<string, string>>,
  ) {}

  get(path: string): Ask {
    return supertest(this.url).get(path).set(this.headers);
  }

  post(path: string, body: object = {}, headers: Record<string, string> = {}): Ask {
    return supertest(this.url).post(path).set(this.headers).set(headers).send(body);
  }

  put(path: string, body: string | object, headers: Record<string, string> = {}): Ask {
    return supertest(this.url).put(path).set(this.headers).set(headers).send(body);
  }

  delete(path: string): Ask {
    return supertest(this.url).delete(path).set(this.headers);
  }
}

/** A running server with a database and home of its own, and its keeper. */
export async function startApiArchive(extra: Record<string, string> = {}): Promise<ApiArchive> {
  const place = await testEnvironment(extra);
  const config = readConfig(place.env);
  const server: RunningServer = await startServer(config);
  const { url } = server;
  const { cookie } = await firstKeeper(url);
  const keeper = new Person(url, { Cookie: cookie });
  const pool = createPool(config.databaseUrl, { max: 2 });
  const signIn = async (login: string) => {
    const session = await supertest(url)
      .post('/v1/session')
      .send({ login, password: PASSWORD })
      .expect(201);
    const [sent] = session.headers['set-cookie'] as unknown as string[];
    return new Person(url, { Cookie: sent!.split(';')[0]! });
  };
  const window = async (siteId: string, mark: string, title: string): Promise<ShownWindow> => {
    const { windowId } = await answer<{ windowId: string }>(
      keeper.post(`/v1/sites/${siteId}/windows`, { mark, title, drawing: TWO_LIGHTS }),
      201,
    );
    const { panels } = await answer<{ panels: { mark: string; panelId: string }[] }>(
      keeper.get(`/v1/windows/${windowId}`),
      200,
    );
    return {
      windowId,
      panels: Object.fromEntries(panels.map((panel) => [panel.mark, panel.panelId])),
    };
  };
  return {
    config,
    url,
    ownerUrl: place.ownerUrl,
    signIn,
    cookie,
    pool,
    keeper,
    anyone: new Person(url, {}),
    async person(login, role, siteId = null) {
      const roles = role === null ? [] : [{ siteId, role }];
      const added = await keeper
        .post('/v1/people', { displayName: login, login, password: PASSWORD, roles })
        .expect(201);
      expect(added.body).toMatchObject({ login });
      return signIn(login);
    },
    async site(code) {
      const site = await keeper
        .post('/v1/sites', { code, name: `Chapel ${code}`, scheme: 'church' })
        .expect(201);
      const { siteId } = site.body as { siteId: string };
      return { siteId, ...(await window(siteId, 'wI', 'West window')) };
    },
    window,
    startWorker: () =>
      startWorker(config, {
        rubbingThread: RUBBING_THREAD_FROM_SOURCE,
        shardsThread: SHARDS_THREAD_FROM_SOURCE,
      }),
    async close() {
      await server.close();
      await pool.end();
      await place.drop();
    },
  };
}
