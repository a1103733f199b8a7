/** The condition class of a panel: a person's word on a day, with what was seen. */
import { type ApiArchive, answer, startApiArchive } from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;
const seen = { conditionClass: 2, reason: 'ties are loose', happened: '2026-05-04' };

interface Condition {
  conditionId: string;
  conditionClass: unknown;
  state: string;
  observerId: string;
  version: number;
}

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
}, 60_000);
afterAll(() => archive.close());

const conditions = (mark: string) => `/v1/panels/${site.panels[mark]!}/conditions`;

it.each([
  ['a class beyond 3', { ...seen, conditionClass: 4 }, 400],
  ['a class without what was seen', { ...seen, reason: ' ' }, 400],
  ['a class without a day', { conditionClass: 2, reason: 'ties are loose' }, 400],
  ['a day that is no date', { ...seen, happened: 'last spring' }, 422],
])('refuses %s', async (_what, body, status) => {
  await answer(archive.keeper.post(conditions('1a'), body), status);
  expect(await answer(archive.keeper.get(conditions('1a')), 200)).toMatchObject({ items: [] });
});

it('is set by who records, not by who reads', async () => {
  const reader = await archive.person('reader', 'reader', site.siteId);
  await answer(reader.post(conditions('1a'), seen), 403);
});

it('is withdrawn once, with a reason, and stays to be read', async () => {
  const told = await answer<Condition>(archive.keeper.post(conditions('1b'), seen), 201);
  expect(told).toMatchObject({ conditionClass: 2, state: 'recorded' });
  const withdraw = `/v1/conditions/${told.conditionId}/withdraw`;
  await answer(archive.keeper.post(withdraw, {}), 400);
  await answer(archive.keeper.post(withdraw, { reason: 'another panel' }), 200);
  const again = await answer<{ type: string }>(
    archive.keeper.post(withdraw, { reason: 'another panel' }),
    409,
  );
  expect(again.type).toBe('/problems/condition-closed');
  expect(await answer(archive.keeper.get(conditions('1b')), 200)).toMatchObject({
    items: [{ conditionId: told.conditionId, state: 'withdrawn' }],
  });
});

it('stands in the condition record, the worst of the window with its reason', async () => {
  await answer(archive.keeper.post(conditions('2a'), { ...seen, conditionClass: 1 }), 201);
  await answer(
    archive.keeper.post(conditions('2b'), { ...seen, conditionClass: 3, reason: 'glass is out' }),
    201,
  );
  interface Told {
    conditionClass: { value: unknown; reasons: { text: string }[] } | null;
  }
  const record = await answer<Told>(
    archive.keeper.get('/v1/records/condition?subject=SLM.wI&format=json'),
    200,
  );
  expect(record.conditionClass).toEqual({
    value: 3,
    reasons: [{ text: 'SLM.wI.2b, 2026-05-04: glass is out', observations: [] }],
  });
  const panel = await answer<Told>(
    archive.keeper.get('/v1/records/condition?subject=SLM.wI.2a&format=json'),
    200,
  );
  expect(panel.conditionClass?.value).toBe(1);
});
