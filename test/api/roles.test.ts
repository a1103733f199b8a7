import { type ApiArchive, PASSWORD, type Person, startApiArchive } from '../support/api-archive.js';

let archive: ApiArchive;
let one: Awaited<ReturnType<ApiArchive['site']>>;
let other: Awaited<ReturnType<ApiArchive['site']>>;
let reader: Person;
let recorder: Person;
let nobody: Person;

beforeAll(async () => {
  archive = await startApiArchive();
  one = await archive.site('SLM');
  other = await archive.site('OTH');
  reader = await archive.person('reader', 'reader', one.siteId);
  recorder = await archive.person('recorder', 'recorder', one.siteId);
  nobody = await archive.person('nobody', null);
}, 60_000);
afterAll(() => archive.close());

const crack = {
  term: 'glass.crack.simple',
  geometry: {
    kind: 'line',
    xyMm: [
      [10, 10],
      [60, 10],
    ],
  },
  face: 'inside',
};

describe('who may read', () => {
  it('lists only the sites of the person who asks', async () => {
    const { body } = await reader.get('/v1/sites').expect(200);
    expect((body as { items: { code: string }[] }).items.map((site) => site.code)).toEqual(['SLM']);
    expect((await nobody.get('/v1/sites').expect(200)).body).toEqual({ items: [], next: null });
  });

  it.each([
    ['site', () => `/v1/sites/${other.siteId}`, 'site-unknown'],
    ['windows', () => `/v1/sites/${other.siteId}/windows`, 'site-unknown'],
    ['window', () => `/v1/windows/${other.windowId}`, 'window-unknown'],
    ['panel', () => `/v1/panels/${other.panels['1a']!}`, 'panel-unknown'],
    ['findings', () => `/v1/panels/${other.panels['1a']!}/findings`, 'panel-unknown'],
    ['nets', () => `/v1/panels/${other.panels['1a']!}/nets`, 'panel-unknown'],
    ['interventions', () => `/v1/sites/${other.siteId}/interventions`, 'site-unknown'],
    ['pictures of a panel', () => `/v1/panels/${other.panels['1a']!}/media`, 'panel-unknown'],
    ['pictures', () => `/v1/sites/${other.siteId}/media`, 'site-unknown'],
    ['dossiers', () => `/v1/sites/${other.siteId}/dossiers`, 'site-unknown'],
    ['mark', () => '/v1/marks/OTH.wI.1a', 'mark-unknown'],
    ['log', () => `/v1/logs/${other.siteId}/checkpoint`, 'log-unknown'],
    ['studio log', () => '/v1/logs/studio/entries', 'log-unknown'],
  ])('answers 404 for the %s of another site, as if it were not there', async (_, path, code) => {
    const { body } = await reader.get(path()).expect(404);
    expect(body).toMatchObject({ type: `/problems/${code}`, status: 404 });
  });

  it('does not find the other site’s words', async () => {
    await archive.keeper
      .post(`/v1/panels/${other.panels['1a']!}/findings`, { ...crack, note: 'whitsuntide' })
      .expect(201);
    const hidden = await reader.get('/v1/search?q=whitsuntide').expect(200);
    expect(hidden.body).toMatchObject({ jump: null, items: [], next: null, total: 0 });
    // not even a count tells of it
    const { facets } = hidden.body as { facets: Record<string, unknown[]> };
    expect(Object.values(facets).flat()).toEqual([]);
    const seen = await archive.keeper.get('/v1/search?q=whitsuntide').expect(200);
    expect((seen.body as { items: unknown[] }).items).toHaveLength(1);
  });

  it('asks who did not sign in to do so', async () => {
    const { body, headers } = await archive.anyone.get('/v1/sites').expect(401);
    expect(body).toMatchObject({ type: '/problems/sign-in-required' });
    expect(headers['www-authenticate']).toBe('Bearer');
  });
});

describe('who may write', () => {
  it('refuses a reader with the role that is needed', async () => {
    const { body } = await reader
      .post(`/v1/panels/${one.panels['1a']!}/findings`, crack)
      .expect(403);
    expect(body).toMatchObject({ type: '/problems/role-insufficient', neededRole: 'recorder' });
  });

  it('answers 404 to a write at a site that one may not read', async () => {
    const { body } = await recorder
      .post(`/v1/panels/${other.panels['1a']!}/findings`, crack)
      .expect(404);
    expect(body).toMatchObject({ type: '/problems/panel-unknown' });
  });

  it('lets a recorder record but not sign', async () => {
    const panelId = one.panels['1a']!;
    await recorder.post(`/v1/panels/${panelId}/findings`, crack).expect(201);
    const { body } = await recorder.post(`/v1/panels/${panelId}/nets/1/sign`).expect(403);
    expect(body).toMatchObject({ neededRole: 'conservator' });
  });

  it.each([
    ['people', '/v1/people', { displayName: 'x', login: 'xx' }],
    ['sites', '/v1/sites', { code: 'NEW', name: 'x', scheme: 'free' }],
  ])('leaves %s to the keeper', async (_, path, body) => {
    await recorder.post(path, body).expect(403);
  });

  it('takes effect at once when a role is given and taken', async () => {
    const later = await archive.person('later', null);
    await later.get(`/v1/sites/${one.siteId}`).expect(404);
    const people = (await archive.keeper.get('/v1/people').expect(200)).body as {
      items: { login: string; personId: string }[];
    };
    const { personId } = people.items.find((person) => person.login === 'later')!;
    const given = await archive.keeper
      .post(`/v1/people/${personId}/roles`, { siteId: one.siteId, role: 'reader' })
      .expect(201);
    await later.get(`/v1/sites/${one.siteId}`).expect(200);
    const { grantId } = given.body as { grantId: string };
    await archive.keeper.delete(`/v1/people/${personId}/roles/${grantId}`).expect(200);
    await later.get(`/v1/sites/${one.siteId}`).expect(404);
  });

  it('keeps one keeper', async () => {
    const people = (await archive.keeper.get('/v1/people').expect(200)).body as {
      items: { login: string; personId: string; roles: { grantId: string; role: string }[] }[];
    };
    const head = people.items.find((person) => person.login === 'head')!;
    const { body } = await archive.keeper
      .delete(`/v1/people/${head.personId}/roles/${head.roles[0]!.grantId}`)
      .expect(409);
    expect(body).toMatchObject({ type: '/problems/last-keeper' });
  });
});

describe('signing in', () => {
  it('refuses a wrong password and an unknown login alike', async () => {
    const wrong = await archive.anyone
      .post('/v1/session', { login: 'reader', password: 'something else' })
      .expect(401);
    const unknown = await archive.anyone
      .post('/v1/session', { login: 'no-such-person', password: 'something else' })
      .expect(401);
    expect(wrong.body).toEqual(unknown.body);
    expect(wrong.body).toMatchObject({ type: '/problems/sign-in-refused' });
  });

  it('slows down guessing of one login, and lets others in', async () => {
    for (let i = 0; i < 10; i++) {
      await archive.anyone.post('/v1/session', { login: 'guessed', password: `guess ${i}` });
    }
    const { body, headers } = await archive.anyone
      .post('/v1/session', { login: 'guessed', password: 'guess' })
      .expect(429);
    expect(body).toMatchObject({ type: '/problems/too-many-attempts' });
    expect(Number(headers['retry-after'])).toBeGreaterThan(0);
    await archive.anyone.post('/v1/session', { login: 'reader', password: PASSWORD }).expect(201);
  });

  it('keeps no password and no session secret in clear', async () => {
    const { rows } = await archive.pool.query<{ hash: string }>(
      `SELECT password_hash AS hash FROM person JOIN keeping.credential USING (person_id)
       WHERE login = 'reader'`,
    );
    expect(rows[0]!.hash).toMatch(/^\$argon2id\$/);
    const entries = await archive.pool.query<{ text: string }>(
      `SELECT convert_from(bytes, 'UTF8') AS text FROM entry WHERE log_id = 'studio'`,
    );
    for (const { text } of entries.rows) {
      expect(text).not.toContain(PASSWORD);
      expect(text).not.toContain('nobody'); // login and name are personal: they stand in person only
    }
  });

  it('is for the demo when it is by a role', async () => {
    const { body } = await archive.anyone.post('/v1/session', { demoRole: 'Glazier' }).expect(403);
    expect(body).toMatchObject({ type: '/problems/demo-only' });
  });

  it('does not take the start’s link twice', async () => {
    const { body } = await archive.anyone
      .post('/v1/session', { token: 'one-time-token-of-the-test' })
      .expect(401);
    expect(body).toMatchObject({ type: '/problems/link-spent' });
  });

  it('makes no second first keeper', async () => {
    const { body } = await archive.anyone
      .post('/v1/first-keeper', {
        token: 'one-time-token-of-the-test',
        displayName: 'x',
        login: 'second',
        password: PASSWORD,
      })
      .expect(401);
    expect(body).toMatchObject({ type: '/problems/link-spent' });
  });
});

describe('a new password', () => {
  const personIdOf = async (login: string) => {
    const { body } = await archive.keeper.get('/v1/people').expect(200);
    const { items } = body as { items: { login: string; personId: string }[] };
    return items.find((person) => person.login === login)!.personId;
  };
  const another = 'quite another pass phrase';

  it('is one’s own, and ends the sessions that were open', async () => {
    const forgetful = await archive.person('forgetful', 'reader', one.siteId);
    const personId = await personIdOf('forgetful');
    await forgetful.post(`/v1/people/${personId}/password`, { password: 'short' }).expect(400);
    await forgetful.post(`/v1/people/${personId}/password`, { password: another }).expect(200);
    await forgetful.get('/v1/sites').expect(401);
    const login = 'forgetful';
    await archive.anyone.post('/v1/session', { login, password: PASSWORD }).expect(401);
    await archive.anyone.post('/v1/session', { login, password: another }).expect(201);
  });

  it('is given by the keeper, not by somebody else', async () => {
    const personId = await personIdOf('forgetful');
    const path = `/v1/people/${personId}/password`;
    await recorder.post(path, { password: another }).expect(403);
    await archive.keeper.post(path, { password: PASSWORD }).expect(200);
    await archive.anyone
      .post('/v1/session', { login: 'forgetful', password: PASSWORD })
      .expect(201);
  });

  it('does not help who is shut out', async () => {
    const personId = await personIdOf('forgetful');
    await archive.keeper.post(`/v1/people/${personId}/disabled`, { disabled: true }).expect(200);
    await archive.anyone
      .post('/v1/session', { login: 'forgetful', password: PASSWORD })
      .expect(401);
    const head = await personIdOf('head');
    const { body } = await archive.keeper
      .post(`/v1/people/${head}/disabled`, { disabled: true })
      .expect(409);
    expect(body).toMatchObject({ type: '/problems/last-keeper' });
  });
});

describe('another page’s request', () => {
  it.each([[{ 'Sec-Fetch-Site': 'cross-site' }], [{ Origin: 'https://elsewhere.invalid' }]])(
    'cannot write with our cookie: %j',
    async (headers) => {
      const { body } = await recorder
        .post(`/v1/panels/${one.panels['1a']!}/findings`, crack, headers)
        .expect(403);
      expect(body).toMatchObject({ type: '/problems/cross-origin-refused' });
    },
  );

  it('cannot send a form as JSON', async () => {
    const { body } = await recorder
      .post(`/v1/panels/${one.panels['1a']!}/findings`, Buffer.from(JSON.stringify(crack)), {
        'Content-Type': 'text/plain',
      })
      .expect(415);
    expect(body).toMatchObject({ type: '/problems/media-type-unsupported', field: 'Content-Type' });
  });
});

describe('API tokens', () => {
  const inDays = (days: number) => new Date(Date.now() + days * 86_400_000).toISOString();
  const bearer = (token: string) => ({ Authorization: `Bearer ${token}` });

  it('reads with the scope read, and writes only with write', async () => {
    const made = await recorder
      .post('/v1/tokens', {
        label: 'reader script',
        scope: ['read'],
        siteId: null,
        expiresAt: inDays(5),
      })
      .expect(201);
    const { token, tokenId } = made.body as { token: string; tokenId: string };
    await archive.anyone.get(`/v1/sites/${one.siteId}`).set(bearer(token)).expect(200);
    const refused = await archive.anyone
      .post(`/v1/panels/${one.panels['1a']!}/findings`, crack, bearer(token))
      .expect(403);
    expect(refused.body).toMatchObject({ type: '/problems/token-scope' });
    await recorder.delete(`/v1/tokens/${tokenId}`).expect(200);
    await archive.anyone.get('/v1/sites').set(bearer(token)).expect(401);
  });

  it('narrows a keeper to one site', async () => {
    const made = await archive.keeper
      .post('/v1/tokens', {
        label: 'one',
        scope: ['read', 'write'],
        siteId: one.siteId,
        expiresAt: inDays(5),
      })
      .expect(201);
    const { token } = made.body as { token: string };
    await archive.anyone.get(`/v1/sites/${other.siteId}`).set(bearer(token)).expect(404);
    await archive.anyone
      .post(`/v1/panels/${other.panels['1a']!}/findings`, crack, bearer(token))
      .expect(404);
    await archive.anyone
      .post(`/v1/panels/${one.panels['1a']!}/findings`, crack, bearer(token))
      .expect(201);
    await archive.anyone.get('/v1/people').set(bearer(token)).expect(403);
  });

  it.each([-1, 500])('does not last %s days', async (days) => {
    const { body } = await recorder
      .post('/v1/tokens', { label: 'x', scope: ['read'], siteId: null, expiresAt: inDays(days) })
      .expect(400);
    expect(body).toMatchObject({ field: 'expiresAt' });
  });

  it('keeps only the digest', async () => {
    const { rows } = await archive.pool.query<{ digest: string }>(
      'SELECT token_digest AS digest FROM api_token',
    );
    for (const { digest } of rows) expect(digest).toMatch(/^[0-9a-f]{64}$/);
  });
});
