/** What the studio's first screen asks, in one answer: the same that each route says, to the same person. */
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  type ApiArchive,
  drawTwoPieces,
  type Person,
  startApiArchive,
} from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;
let studio: string;

beforeAll(async () => {
  studio = await mkdtemp(join(tmpdir(), 'studio-'));
  await writeFile(join(studio, 'index.html'), '<!doctype html><title>studio</title>');
  archive = await startApiArchive({ MULLION_STUDIO_DIR: studio });
  site = await archive.site('SLM');
  await drawTwoPieces(archive, site.panels['2b']!);
}, 60_000);
afterAll(async () => {
  await archive.close();
  await rm(studio, { recursive: true, force: true });
});

type Answers = Readonly<Record<string, { type: string; body: unknown }>>;
const answers = async (who: Person, at: string) =>
  (await who.get(`/first/answers?at=${encodeURIComponent(at)}`).expect(200)).body as Answers;

describe('the page', () => {
  const links = async (path: string) =>
    (await archive.anyone.get(path).expect(200)).headers['link'] ?? '';

  it('names what its first screen will ask, as RFC 8288 writes links', async () => {
    expect(await links('/at/SLM.wI?show=terms')).toBe(
      '</first/answers?at=%2Fat%2FSLM.wI>; rel=preload; as=fetch; crossorigin, ' +
        '</first/outline?at=%2Fat%2FSLM.wI>; rel=preload; as=fetch; crossorigin',
    );
    expect(await links('/at/SLM.wI.2b/find')).not.toContain('outline');
  });

  it('names nothing where it must open without a line', async () => {
    expect(await links('/phone')).toBe('');
  });
});

describe('the first answers', () => {
  it('are those of the routes themselves', async () => {
    const told = await answers(archive.keeper, '/at/SLM.wI');
    const paths = Object.keys(told);
    for (const path of [
      '/v1/state',
      '/v1/logs',
      '/v1/sites',
      '/v1/marks/SLM.wI',
      `/v1/sites/${site.siteId}/windows`,
      `/v1/sites/${site.siteId}/happenings`,
      `/v1/windows/${site.windowId}`,
    ]) {
      const { body } = await archive.keeper.get(path).expect(200);
      expect(told[path]?.body).toEqual(body);
    }
    const checkpoint = paths.find((path) => path.endsWith('/checkpoint'))!;
    const { text } = await archive.keeper.get(checkpoint).expect(200);
    expect(told[checkpoint]).toEqual({
      type: expect.stringContaining('text/plain') as string,
      body: text,
    });
  });

  it('say nothing of the wall to whoever is not signed in', async () => {
    expect(Object.keys(await answers(archive.anyone, '/at/SLM.wI'))).toEqual(['/v1/state']);
    await archive.anyone.get('/first/outline?at=%2Fat%2FSLM.wI').expect(204);
  });

  it('leave out a place that this person may not see', async () => {
    const other = await archive.site('ABC');
    const reader = await archive.person('reader', 'reader', other.siteId);
    const told = await answers(reader, '/at/SLM.wI');
    expect(JSON.stringify(told)).not.toContain(site.windowId);
    await reader.get('/first/outline?at=%2Fat%2FSLM.wI').expect(204);
  });

  it.each(['/at/%2E%2E%2Fx', '/at/', 'nonsense', '/at/SLM.wI?x', '//at/SLM'])(
    'answer an address that leads nowhere: %s',
    async (at) => {
      const told = await answers(archive.keeper, at);
      expect(told).toHaveProperty('/v1/state');
    },
  );
});

describe('the first lead drawings', () => {
  const path = '/first/outline?at=%2Fat%2FSLM.wI';
  const own = () => `/v1/windows/${site.windowId}/outline`;

  it('are those of the window, and say so', async () => {
    const first = await archive.keeper.get(path).expect(200);
    const { body, headers } = await archive.keeper.get(own()).expect(200);
    expect(first.body).toEqual(body);
    expect(first.headers['content-location']).toBe(own());
    expect(first.headers['etag']).toBe(headers['etag']);
  });

  it('are not sent again while they stand', async () => {
    const { headers } = await archive.keeper.get(own()).expect(200);
    await archive.keeper.get(path).set('If-None-Match', headers['etag']!).expect(304);
  });

  it('are none where one stands before no window', async () => {
    await archive.keeper.get('/first/outline?at=%2Fat%2FSLM').expect(204);
  });
});
