import { createPublicKey } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { readConfig } from '#libs/archive';
import { fingerprintOf, shortFingerprint } from '#libs/ledger';
import { type RunningServer, startServer } from '../../apps/server/src/start-server.js';
import { type Ask, Person } from '../support/api-archive.js';
import { testEnvironment } from '../support/media-archive.js';

const SCRIPT = `export const told = '${'lead and glass, '.repeat(200)}';`;
const TOKEN = 'one-time-token-of-the-test';
const person = { displayName: 'Head', login: 'Head', password: 'a long pass phrase' };

let place: Awaited<ReturnType<typeof testEnvironment>>;
let server: RunningServer;
let studio: string;

beforeAll(async () => {
  studio = await mkdtemp(join(tmpdir(), 'studio-'));
  await mkdir(join(studio, 'assets'));
  await writeFile(join(studio, 'index.html'), '<!doctype html><title>studio</title>');
  await writeFile(join(studio, 'assets', 'index-3fb2.js'), SCRIPT);
  await writeFile(join(studio, 'assets', 'index-3fb2.js.gz'), gzipSync(SCRIPT));
  await writeFile(join(studio, 'lozenge.svg'), '<svg xmlns="http://www.w3.org/2000/svg"/>');
  place = await testEnvironment({ MULLION_STUDIO_DIR: studio });
  server = await startServer(readConfig(place.env));
}, 60_000);
afterAll(async () => {
  await server.close();
  await place.drop();
  await rm(studio, { recursive: true, force: true });
});

const get = (path: string, headers: Record<string, string> = {}): Ask =>
  new Person(server.url, headers).get(path);
const post = (path: string, body: object): Ask => new Person(server.url, {}).post(path, body);

describe('before anybody keeps the archive', () => {
  it('asks whether to look round the demo or to start', async () => {
    const { body } = await get('/v1/state').expect(200);
    const state = body as { archive: { fingerprint: string; fingerprintShort: string } };
    expect(state).toMatchObject({ mode: 'choose', demo: false, me: null, seeding: null });
    expect(state.archive.fingerprintShort).toBe(shortFingerprint(state.archive.fingerprint));
  });

  it('cannot switch to the demo without the program that started it, nor without the link', async () => {
    const { body: wrong } = await post('/v1/choose', { home: 'demo', token: 'guessed' }).expect(
      401,
    );
    expect(wrong).toMatchObject({ type: '/problems/link-spent', field: 'token' });
    // A test runner has a channel of its own to whoever started it, which is no launcher.
    const channel = Object.getOwnPropertyDescriptor(process, 'send');
    Reflect.deleteProperty(process, 'send');
    try {
      const { body } = await post('/v1/choose', { home: 'demo', token: TOKEN }).expect(409);
      expect(body).toMatchObject({ type: '/problems/launcher-missing' });
    } finally {
      if (channel !== undefined) Object.defineProperty(process, 'send', channel);
    }
  });

  it('asks the program that started it to switch', async () => {
    const channel = Object.getOwnPropertyDescriptor(process, 'send');
    const told: unknown[] = [];
    const value = (message: unknown) => told.push(message) > 0;
    Object.defineProperty(process, 'send', { value, configurable: true });
    try {
      await post('/v1/choose', { home: 'demo', token: TOKEN }).expect(202);
    } finally {
      Reflect.deleteProperty(process, 'send');
      if (channel !== undefined) Object.defineProperty(process, 'send', channel);
    }
    expect(told).toEqual([{ kind: 'switch-home', to: 'demo' }]);
  });

  it.each([
    ['a wrong link', { ...person, token: 'guessed' }, 401, 'link-spent'],
    ['a short password', { ...person, password: 'short', token: TOKEN }, 400, 'request-invalid'],
    ['a login with spaces', { ...person, login: 'the head', token: TOKEN }, 400, 'request-invalid'],
  ])('makes no keeper with %s', async (_, body, status, code) => {
    const answer = await post('/v1/first-keeper', body).expect(status);
    expect(answer.body).toMatchObject({ type: `/problems/${code}` });
  });

  it('makes one keeper of two who try at the same moment', async () => {
    const answers = await Promise.all(
      ['first', 'second'].map((login) =>
        post('/v1/first-keeper', { ...person, login, token: TOKEN }),
      ),
    );
    const statuses = answers.map((answer) => answer.status).sort();
    expect(statuses[0]).toBe(201);
    expect([401, 409]).toContain(statuses[1]);
    const made = answers.find((answer) => answer.status === 201)!;
    const [cookie] = made.headers['set-cookie'] as unknown as string[];
    expect(cookie).toMatch(/^mullion_session=[\w-]{43};/);
    expect(cookie).toMatch(/HttpOnly/);
    expect(cookie).toMatch(/SameSite=Strict/);
    expect(cookie).toMatch(/Path=\//);
    const { body } = await get('/v1/state', { Cookie: cookie!.split(';')[0]! }).expect(200);
    expect(body).toMatchObject({
      mode: 'ready',
      me: { roles: [{ siteId: null, role: 'keeper' }] },
    });
    await new Person(server.url, { Cookie: cookie!.split(';')[0]! })
      .delete('/v1/session')
      .expect(204);
    const out = await get('/v1/state', { Cookie: cookie!.split(';')[0]! }).expect(200);
    expect(out.body).toMatchObject({ me: null });
  });

  it('has spent its link then', async () => {
    const { body } = await post('/v1/session', { token: TOKEN }).expect(401);
    expect(body).toMatchObject({ type: '/problems/link-spent' });
    await post('/v1/choose', { home: 'demo', token: TOKEN }).expect(409);
  });
});

describe('the studio’s files', () => {
  it('lets what has a hash in its name be kept for ever, and its page never', async () => {
    const page = await get('/').expect(200);
    expect(page.text).toContain('<title>studio</title>');
    expect(page.headers['cache-control']).toBe('no-cache');
    const script = await get('/assets/index-3fb2.js').expect(200);
    expect(script.headers['cache-control']).toMatch(/max-age=31536000.*immutable/);
    const drawing = await get('/lozenge.svg').expect(200);
    expect(drawing.headers['content-type']).toMatch(/svg/);
  });

  it('sends the packed copy to whoever takes it, and the file itself to whoever does not', async () => {
    const path = '/assets/index-3fb2.js';
    const packed = await get(path, { 'Accept-Encoding': 'gzip' }).expect(200);
    expect(packed.headers['content-encoding']).toBe('gzip');
    expect(Number(packed.headers['content-length'])).toBe(gzipSync(SCRIPT).length);
    const plain = await get(path, { 'Accept-Encoding': 'identity' }).expect(200);
    expect(plain.headers['content-encoding']).toBeUndefined();
    expect(Number(plain.headers['content-length'])).toBe(SCRIPT.length);
    for (const answer of [packed, plain]) {
      expect(answer.text).toBe(SCRIPT);
      expect(answer.headers['content-type']).toMatch(/javascript/);
      expect(answer.headers['cache-control']).toMatch(/immutable/);
      expect(answer.headers['vary']).toMatch(/accept-encoding/i);
    }
  });

  it.each(['/SLM.wI.2b', '/sites', '/bench/SLM.wI.2b.17'])(
    'answers the studio’s own address %s with its page, not with a file',
    async (path) => {
      const { text } = await get(path).expect(200);
      expect(text).toContain('<title>studio</title>');
    },
  );

  it.each(['/v1/nothing', '/iiif/3', '/assets/gone-1234.js', '/..%2f..%2fetc%2fpasswd'])(
    'does not answer %s with the page',
    async (path) => {
      const answer = await get(path);
      expect(answer.text).not.toContain('<title>studio</title>');
      expect([401, 404]).toContain(answer.status);
    },
  );

  it('carries the headers that keep other pages out', async () => {
    for (const path of ['/', '/v1/state']) {
      const { headers } = await get(path).expect(200);
      expect(headers).toMatchObject({
        'x-content-type-options': 'nosniff',
        'x-frame-options': 'DENY',
        'referrer-policy': 'same-origin',
      });
      expect(headers['content-security-policy']).not.toContain("script-src 'self' 'unsafe-inline'");
      expect(headers['content-security-policy']).toContain('default-src');
    }
    const api = await get('/v1/state').expect(200);
    expect(api.headers['cache-control']).toContain('no-store');
  });
});

describe('its description', () => {
  it('is OpenAPI 3.1, names every operation once and every refusal as a problem', async () => {
    const { body } = await get('/v1/openapi.json').expect(200);
    const document = body as {
      openapi: string;
      paths: Record<
        string,
        Record<string, { operationId: string; responses: Record<string, { content?: object }> }>
      >;
    };
    expect(document.openapi).toMatch(/^3\.1\./);
    const operations = Object.values(document.paths).flatMap((methods) => Object.values(methods));
    const names = operations.map((operation) => operation.operationId);
    expect(new Set(names).size).toBe(names.length);
    expect(names.length).toBeGreaterThan(60);
    for (const { responses } of operations) {
      for (const [status, { content }] of Object.entries(responses)) {
        if (Number(status) < 400) continue;
        expect(Object.keys(content ?? {})).toEqual(['application/problem+json']);
      }
    }
  });
});

it('has a fingerprint that another implementation of the key gives too', async () => {
  const { body } = await get('/v1/state').expect(200);
  const pem = readFileSync(place.env.MULLION_KEY_FILE);
  const der = createPublicKey(pem).export({ type: 'spki', format: 'der' });
  const told = (body as { archive: { fingerprint: string } }).archive.fingerprint;
  expect(told).toBe(fingerprintOf(new Uint8Array(der.subarray(-32))));
});
