/** A panel taken apart piece by piece: who may, what is refused, what breaks, and what the gauge gives to the weight. */
import { type ApiArchive, answer, startApiArchive, twoPieces } from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;
const path = (what: string) => `/v1/panels/${site.panels['1a']!}/${what}`;
const lifts = (pieces: object[], over = {}) =>
  archive.keeper.post(path('lifts'), { pieces, ...over });
const steps = () =>
  answer<{ items: { kind: string; detail: { pieces: object[] } }[] }>(
    archive.keeper.get(path('steps')),
    200,
  );

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
  await archive.keeper
    .post(path('nets'), { sketch: twoPieces(), note: 'by hand' }, { 'If-Match': '"0"' })
    .expect(201);
  await archive.keeper.post(path('nets/1/sign')).expect(200);
}, 60_000);
afterAll(() => archive.close());

const nobody = '00000000-0000-7000-8000-000000000001';
it.each([
  ['nothing', [], {}, 400],
  ['a state that is none', [{ mark: '1', is: 'gone' }], {}, 400],
  ['a piece with nobody', [{ mark: '1', is: 'with' }], {}, 400],
  ['a lifted piece with another', [{ mark: '1', is: 'lifted', with: '2' }], {}, 400],
  ['a piece with itself', [{ mark: '1', is: 'with', with: '1' }], {}, 400],
  ['a piece twice', ['lifted', 'broken'].map((is) => ({ mark: '1', is })), {}, 400],
  ['a piece that is not there', [{ mark: '9', is: 'lifted' }], {}, 422],
  ['a neighbour that is not there', [{ mark: '1', is: 'with', with: '9' }], {}, 422],
  ['a day that is none', [{ mark: '1', is: 'lifted' }], { happened: 'in spring' }, 422],
  ['a picture that is not there', [{ mark: '1', is: 'lifted' }], { images: [nobody] }, 422],
])('refuses %s and keeps nothing', async (_what, pieces, over, status) => {
  await answer(lifts(pieces, over), status);
  expect((await steps()).items).toEqual([]);
});

it('keeps what was lifted, flags what broke, and knows that the panel lies on the bench', async () => {
  const reader = await archive.person('reader', 'reader', site.siteId);
  const whole = [{ mark: '1', is: 'lifted' }];
  await answer(reader.post(path('lifts'), { pieces: whole }), 403);
  await answer(archive.keeper.post(`/v1/panels/${nobody}/lifts`, { pieces: whole }), 404);
  await answer(lifts(whole), 201);
  await answer(lifts([{ mark: '2', is: 'broken', note: 'at an old crack' }]), 201);
  expect((await steps()).items.map(({ kind, detail }) => [kind, detail.pieces])).toEqual(
    expect.arrayContaining([['lift', whole]]),
  );
  const { items } = await answer<{ items: { subject: string; state: string }[] }>(
    archive.keeper.get(`/v1/sites/${site.siteId}/flags`),
    200,
  );
  expect(items).toMatchObject([{ subject: 'SLM.wI.1a.2', state: 'open' }]);
  expect(await answer(archive.keeper.get(`/v1/panels/${site.panels['1a']!}`), 200)).toMatchObject({
    workState: 'on-bench',
  });
});

it('weighs the lead by the sections that were gauged at cut ends', async () => {
  const lead = async () =>
    (
      await answer<{ weight: { leadKg: number; gaugedLeadRatio: number } }>(
        archive.keeper.get(path('weight')),
        200,
      )
    ).weight;
  const { leads } = await answer<{
    leads: { kind: string; widthClassMm: number }[];
  }>(archive.keeper.get(path('nets/1')), 200);
  expect((await lead()).gaugedLeadRatio).toBe(0);
  const section = { shape: 'H', leaf: 'flat', leafMm: 1, heartHeightMm: 4.8, heartMm: 1.6 };
  const gauge = (faceMm: number) =>
    ['outer', 'came'].flatMap((kind) =>
      leads
        .filter((one) => one.kind === kind)
        .slice(0, 1)
        .map(({ widthClassMm }) => ({
          kind,
          widthClassMm,
          profile: { ...section, name: `flat ${faceMm}`, faceMm },
        })),
    );
  const record = (faceMm: number) =>
    answer(
      archive.keeper.post(path('dismantling'), { allPieces: false, gauges: gauge(faceMm) }),
      201,
    );
  await record(6);
  const six = await lead();
  expect(six.gaugedLeadRatio).toBe(1);
  await record(12);
  // plane geometry: two leaves and the heart, the last reading counts
  const areaMm2 = (faceMm: number) => 2 * faceMm * 1 + 4.8 * 1.6;
  expect((await lead()).leadKg / six.leadKg).toBeCloseTo(areaMm2(12) / areaMm2(6), 6);
  // the came list says of each width how it is known
  const list = await archive.keeper.get(path('nets/1/schedule.csv')).expect(200);
  const day = new Date().toISOString().slice(0, 10);
  expect(list.text).toContain(`flat 12,"gauge, ${day}: face 12.0 mm"`);
  expect(list.text).not.toContain('flat 6');
});
