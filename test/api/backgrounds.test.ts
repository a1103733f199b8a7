/** Who keeps a place, how it is protected, when and by whom it was made: said once, read in every record below. */
import { type ApiArchive, answer, startApiArchive } from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;
let path: string;

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
  path = `/v1/sites/${site.siteId}/backgrounds`;
}, 60_000);
afterAll(() => archive.close());

const record = (mark: string) =>
  answer<Record<string, unknown>>(
    archive.keeper.get(`/v1/records/condition?subject=${mark}&format=json`),
    200,
  );

it.each([
  ['a date that is none', { mark: 'wI', made: { happened: 'long ago' } }, 422, 'date-invalid'],
  ['a place that is not there', { mark: 'nX', keeper: 'the parish' }, 422, 'subject-unknown'],
  ['nothing at all', { mark: 'wI' }, 400, 'request-invalid'],
  ['a field of another program', { mark: 'wI', price: '12' }, 400, 'request-invalid'],
])('%s is refused', async (_what, body, status, type) => {
  const refused = await archive.keeper.put(path, body);
  expect([refused.status, refused.body]).toMatchObject([status, { type: `/problems/${type}` }]);
});

it('is inherited by what lies in it, which says so, and gives way to what is said nearer', async () => {
  expect(await record('SLM.wI.2a')).toMatchObject({ keeper: null, protection: null, made: null });
  await answer(
    archive.keeper.put(path, {
      mark: 'SLM',
      keeper: 'the trustees',
      protection: 'listed: ask the office before anything is done',
    }),
    200,
  );
  const window = await answer<{ version: number }>(
    archive.keeper.put(path, {
      mark: 'wI',
      made: { happened: '1903~', by: 'a workshop of the town', source: 'inscription in 1a' },
    }),
    200,
  );
  await answer(archive.keeper.put(path, { mark: 'wI.2a', keeper: 'the museum' }), 200);
  expect(await record('SLM.wI.2a')).toMatchObject({
    keeper: 'the museum',
    protection: 'listed: ask the office before anything is done (said of SLM)',
    made: {
      happened: '1903~',
      by: 'a workshop of the town',
      source: 'inscription in 1a, said of SLM.wI',
    },
  });
  const known = await answer(archive.keeper.get('/v1/backgrounds?subject=SLM.wI.2a'), 200);
  expect(known).toMatchObject({
    mark: 'SLM.wI.2a',
    items: [{ mark: 'SLM.wI.2a' }, { mark: 'SLM.wI' }, { mark: 'SLM' }],
  });
  // changed by somebody who did not read what stands: refused; who did read it may
  const again = { mark: 'wI', made: { happened: '1904' } };
  await answer(archive.keeper.put(path, again), 428);
  await answer(archive.keeper.put(path, again, { 'If-Match': `"${window.version}"` }), 200);
  expect(await record('SLM.wI')).toMatchObject({
    keeper: 'the trustees (said of SLM)',
    made: { happened: '1904', by: null, source: null },
  });
});

it('a reader may read it and not say it', async () => {
  const reader = await archive.person('reader', 'reader', site.siteId);
  await answer(reader.get('/v1/backgrounds?subject=SLM'), 200);
  await answer(reader.put(path, { mark: 'SLM', keeper: 'me' }), 403);
});
