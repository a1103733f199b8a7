/** A person is forgotten: what opens their names is destroyed, and nothing else changes. */
import { rebuildProjections } from '#libs/archive';
import { openObjectStore } from '#libs/objects';
import type { RunningWorker } from '../../apps/worker/src/start-worker.js';
import {
  type ApiArchive,
  answer,
  PASSWORD,
  type Person,
  startApiArchive,
} from '../support/api-archive.js';
import { imageBytes } from '../support/media-archive.js';
import { projectionDump } from '../support/projection-dump.js';
import { tablesHolding } from '../support/tables-holding.js';
import { untilJobsRest } from '../support/until-jobs-rest.js';

/** Names that stand nowhere else, in no template and no vocabulary. */
const NAME = 'Quillon Varrowby';
const LOGIN = 'qvarrowby';
const OTHER = 'Ondine Threlkish';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;
let glazier: Person;
let glazierId: string;
let mediaId: string;
let worker: RunningWorker | undefined;

interface Entries {
  items: { seq: number; type: string; bytes: string; leafHash: string }[];
}

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
  const added = await answer<{ personId: string }>(
    archive.keeper.post(
      '/v1/people',
      {
        displayName: NAME,
        login: LOGIN,
        password: PASSWORD,
        roles: [{ siteId: site.siteId, role: 'recorder' }],
      },
      { 'Idempotency-Key': 'adding' },
    ),
    201,
  );
  glazierId = added.personId;
  glazier = await archive.signIn(LOGIN);
  const query = new URLSearchParams({
    fileName: 'panel.jpg',
    kind: 'photograph',
    subjects: 'wI.1a',
    author: NAME,
  });
  const taken = await answer<{ mediaId: string }>(
    glazier.put(
      `/v1/sites/${site.siteId}/media?${query.toString()}`,
      imageBytes('orientation-1.jpg'),
      {
        'Content-Type': 'application/octet-stream',
        'Idempotency-Key': 'sending',
      },
    ),
    201,
  );
  mediaId = taken.mediaId;
  await answer(
    glazier.post(
      `/v1/panels/${site.panels['1a']!}/rubbings`,
      {
        conditions: { paintTested: true, looseAreas: 'none', panelSupported: true },
        sheet: { medium: 'heelball', face: 'inside', takenBy: 'quillon  varrowby', shelf: '4' },
      },
      { 'Idempotency-Key': 'rubbing' },
    ),
    201,
  );
  await answer(
    glazier.post(`/v1/sites/${site.siteId}/interventions`, {
      subjects: ['wI.1a'],
      operation: 'bond.epoxy',
      happened: '1998',
      byText: OTHER,
    }),
    201,
  );
  await answer(
    glazier.post(`/v1/panels/${site.panels['1a']!}/findings`, {
      term: 'glass.crack.simple',
      face: 'inside',
      geometry: {
        kind: 'line',
        xyMm: [
          [10, 10],
          [60, 10],
        ],
      },
      note: `as ${OTHER} had said`,
    }),
    201,
  );
}, 60_000);
afterAll(async () => {
  await worker?.close();
  await archive.close();
});

const entriesOf = (logId: string) =>
  answer<Entries>(archive.keeper.get(`/v1/logs/${logId}/entries?limit=500`), 200);

describe('while a name is known', () => {
  it('people read it; the ledger holds only ciphertext', async () => {
    const media = await answer<{ author: string }>(glazier.get(`/v1/media/${mediaId}`), 200);
    expect(media.author).toBe(NAME);
    const found = await answer<{ items: unknown[] }>(
      archive.keeper.get('/v1/search?q=Varrowby'),
      200,
    );
    expect(found.items).toHaveLength(1);
    expect(await tablesHolding(archive.pool, NAME)).not.toContain('public.entry');
    expect(await tablesHolding(archive.pool, LOGIN)).not.toContain('public.entry');
    expect(await tablesHolding(archive.pool, OTHER)).toContain('public.entry'); // within the note
  });

  it('the same name is the same person, however it is written', async () => {
    const traces = await answer<{
      fields: { kind: string; field: string; subject: string }[];
      texts: unknown[];
    }>(archive.keeper.get(`/v1/people/${glazierId}/traces`), 200);
    expect(traces.fields.map(({ kind, field, subject }) => [kind, field, subject])).toEqual([
      ['media', 'author', 'SLM.wI.1a'],
      ['rubbing', 'takenBy', 'SLM.wI.1a'],
    ]);
    expect(traces.texts).toEqual([]);
  });

  it('a keeper learns what erasing would not reach', async () => {
    const traces = await answer<{ fields: unknown[]; texts: { kind: string; subject: string }[] }>(
      archive.keeper.post('/v1/names/traces', { name: OTHER }),
      200,
    );
    expect(traces.fields).toHaveLength(1);
    expect(traces.texts).toMatchObject([{ kind: 'finding', subject: 'SLM.wI.1a' }]);
  });

  it('rows come out the same when they are made anew', async () => {
    const before = await projectionDump(archive.pool);
    expect(before['person']!.map((row) => row['display_name'])).toContain(NAME);
    expect(before['name_place']).toHaveLength(3);
    await rebuildProjections(archive.pool, await openObjectStore(archive.config.objects));
    expect(await projectionDump(archive.pool)).toEqual(before);
  });
});

describe('who may not erase, and how not', () => {
  const path = () => `/v1/people/${glazierId}/erase`;

  it.each([
    [
      'the person is another’s keeper nowhere',
      () => glazier,
      { reason: 'asked for' },
      403,
      'role-insufficient',
    ],
    [
      'the reason names the person',
      () => archive.keeper,
      { reason: `because ${NAME} asked` },
      400,
      'request-invalid',
    ],
    [
      'the reason names the login',
      () => archive.keeper,
      { reason: `${LOGIN} left` },
      400,
      'request-invalid',
    ],
    ['no reason is given', () => archive.keeper, {}, 400, 'request-invalid'],
  ])('refused when %s', async (_, who, body, status, code) => {
    const { body: told } = await who().post(path(), body).expect(status);
    expect(told).toMatchObject({ type: `/problems/${code}` });
  });

  it('the last keeper stays', async () => {
    const people = await answer<{ items: { login: string; personId: string }[] }>(
      archive.keeper.get('/v1/people'),
      200,
    );
    const head = people.items.find(({ login }) => login === 'head')!;
    const { body } = await archive.keeper
      .post(`/v1/people/${head.personId}/erase`, { reason: 'asked for' })
      .expect(409);
    expect(body).toMatchObject({ type: '/problems/last-keeper' });
  });

  it('a name with an account goes with the account', async () => {
    const { body } = await archive.keeper
      .post('/v1/names/erase', { name: NAME, reason: 'asked for' })
      .expect(409);
    expect(body).toMatchObject({ type: '/problems/name-has-account' });
  });
});

describe('once a person is erased', () => {
  let before: Map<string, Entries>;

  beforeAll(async () => {
    before = new Map([
      ['studio', await entriesOf('studio')],
      [site.siteId, await entriesOf(site.siteId)],
    ]);
    worker = await archive.startWorker();
    const erased = await answer<{ places: number; personId: string }>(
      archive.keeper.post(`/v1/people/${glazierId}/erase`, {
        reason: 'asked for in writing',
        otherSpellings: ['Q. Varrowby'],
      }),
      200,
    );
    expect(erased).toMatchObject({ places: 2, personId: glazierId });
    await untilJobsRest(archive.pool);
  }, 60_000);

  it('the name stands nowhere in the database or among the objects’ records', async () => {
    for (const name of [NAME, LOGIN, 'Varrowby', 'Q. Varrowby']) {
      expect([name, await tablesHolding(archive.pool, name)]).toEqual([name, []]);
    }
  });

  it('no entry changed, and one was added that names nobody', async () => {
    for (const [logId, { items }] of before) {
      const after = await entriesOf(logId);
      expect(after.items.slice(0, items.length)).toEqual(items);
      expect(after.items).toHaveLength(items.length + (logId === 'studio' ? 1 : 0));
    }
    const last = (await entriesOf('studio')).items.at(-1)!;
    expect(last.type).toBe('person.erase');
    expect(Buffer.from(last.bytes, 'base64').toString()).toContain(glazierId);
  });

  it('records show a pseudonym that keeps persons apart', async () => {
    const media = await answer<{ author: string }>(archive.keeper.get(`/v1/media/${mediaId}`), 200);
    expect(media.author).toBe(`erased person ${glazierId.slice(-6)}`);
    const people = await answer<{
      items: {
        personId: string;
        displayName: string;
        disabled: boolean;
        erasedAt: string | null;
        roles: unknown[];
      }[];
    }>(archive.keeper.get('/v1/people'), 200);
    expect(people.items.find((person) => person.personId === glazierId)).toMatchObject({
      displayName: `erased person ${glazierId.slice(-6)}`,
      disabled: true,
      roles: [],
    });
    const found = await answer<{ items: unknown[] }>(
      archive.keeper.get('/v1/search?q=Varrowby'),
      200,
    );
    expect(found.items).toEqual([]);
  });

  it('the person is signed out and cannot come back', async () => {
    await glazier.get('/v1/sites').expect(401);
    await archive.anyone.post('/v1/session', { login: LOGIN, password: PASSWORD }).expect(401);
    const path = `/v1/people/${glazierId}`;
    for (const [way, body] of [
      ['password', { password: PASSWORD }],
      ['roles', { siteId: site.siteId, role: 'recorder' }],
      ['disabled', { disabled: false }],
      ['erase', { reason: 'again' }],
    ] as const) {
      const { body: told } = await archive.keeper.post(`${path}/${way}`, body).expect(409);
      expect(told).toMatchObject({ type: '/problems/person-erased' });
    }
  });

  it('a late retry of what named them is refused, not done twice', async () => {
    const { body } = await archive.keeper
      .post(
        '/v1/people',
        {
          displayName: NAME,
          login: LOGIN,
          password: PASSWORD,
          roles: [{ siteId: site.siteId, role: 'recorder' }],
        },
        { 'Idempotency-Key': 'adding' },
      )
      .expect(422);
    expect(body).toMatchObject({ type: '/problems/idempotency-key-reused' });
  });

  it('rows made anew are the very same', async () => {
    const rows = await projectionDump(archive.pool);
    await rebuildProjections(archive.pool, await openObjectStore(archive.config.objects));
    expect(await projectionDump(archive.pool)).toEqual(rows);
  });

  it('others keep their names', async () => {
    const work = await answer<{ items: { byText: string }[] }>(
      archive.keeper.get(`/v1/sites/${site.siteId}/interventions`),
      200,
    );
    expect(work.items.map(({ byText }) => byText)).toEqual([OTHER]);
  });
});

describe('somebody without an account', () => {
  it('is erased by name; what a note says of them stays, as was told', async () => {
    const erased = await answer<{ personId: null; places: number }>(
      archive.keeper.post('/v1/names/erase', { name: OTHER.toUpperCase(), reason: 'asked for' }),
      200,
    );
    expect(erased).toMatchObject({ personId: null, places: 1 });
    const work = await answer<{ items: { byText: string }[] }>(
      archive.keeper.get(`/v1/sites/${site.siteId}/interventions`),
      200,
    );
    expect(work.items[0]!.byText).toMatch(/^erased person [0-9a-f]{6}$/);
    expect(await tablesHolding(archive.pool, OTHER)).toEqual([
      'public.entry',
      'public.finding',
      'public.search_row',
    ]);
    const rows = await projectionDump(archive.pool);
    await rebuildProjections(archive.pool, await openObjectStore(archive.config.objects));
    expect(await projectionDump(archive.pool)).toEqual(rows);
  });

  it('nobody of a name is told so', async () => {
    const { body } = await archive.keeper
      .post('/v1/names/erase', { name: 'Nobody Atall', reason: 'asked for' })
      .expect(404);
    expect(body).toMatchObject({ type: '/problems/name-unknown' });
  });
});
