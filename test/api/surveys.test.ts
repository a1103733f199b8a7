/** Surveys of windows and tests: one visit as one statement, samples that wait for their result. */
import { type ApiArchive, answer, startApiArchive } from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;

interface Survey {
  surveyId: string;
  version: number;
  panels: { conditionId: string; mark: string }[];
}

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
}, 60_000);
afterAll(() => archive.close());

const seen = (mark: string, over: object = {}) => ({
  panelId: site.panels[mark]!,
  conditionClass: 2,
  urgency: 1,
  recommendation: 2,
  reasons: [{ text: 'slack at the foot', source: 'surveyor' }],
  ...over,
});
const visit = (panels: object[], over: object = {}) => ({
  purpose: 'five-year survey',
  happened: '2026-05-04',
  panels,
  ...over,
});
const surveys = () => `/v1/windows/${site.windowId}/surveys`;

it('is recorded once, though its list lay on two devices of two people', async () => {
  const elsewhere = await archive.site('TWO');
  const path = `/v1/windows/${elsewhere.windowId}/surveys`;
  const surveyId = '3f2b8a54-90c1-4d6e-8f37-2a1d5c7e9b40';
  const said = visit([seen('1a', { panelId: elsewhere.panels['1a']! })], { surveyId });
  const other = await archive.person('other-device', 'recorder', elsewhere.siteId);
  expect(await answer(archive.keeper.post(path, said), 201)).toMatchObject({ surveyId });
  expect(await answer(other.post(path, said), 409)).toMatchObject({
    type: '/problems/survey-known',
    surveyId,
  });
  expect(await answer(archive.keeper.get(path), 200)).toMatchObject({ items: [{ surveyId }] });
});

it.each([
  ['no purpose', () => visit([], { purpose: ' ' }), 400],
  ['a class without a reason', () => visit([seen('1a', { reasons: [] })]), 400],
  ['an urgency of 4', () => visit([seen('1a', { urgency: 4 })]), 400],
  [
    'an urgency where nobody looked',
    () => visit([seen('1a', { conditionClass: 'not-inspected' })]),
    400,
  ],
  ['a panel twice', () => visit([seen('1a'), seen('1a')]), 400],
  [
    'a panel of another window',
    () => visit([seen('1a', { panelId: '00000000-0000-7000-8000-000000000001' })]),
    404,
  ],
  ['a day that is none', () => visit([seen('1a')], { happened: 'in spring' }), 422],
  ['a next look that is no day', () => visit([seen('1a')], { nextInspection: 'soon' }), 422],
  [
    'a picture that is not there',
    () => visit([], { images: ['00000000-0000-7000-8000-000000000001'] }),
    422,
  ],
])('refuses %s and keeps nothing', async (_what, body, status) => {
  await answer(archive.keeper.post(surveys(), body()), status);
  expect(await answer(archive.keeper.get(surveys()), 200)).toMatchObject({ items: [] });
});

it('keeps a visit whole, and its classes stand on the panels until it is taken back', async () => {
  const reader = await archive.person('reader', 'reader', site.siteId);
  await answer(reader.post(surveys(), visit([seen('1a')])), 403);
  const body = visit(
    [
      seen('1a', { setAside: [{ text: '12 % of pieces cracked', why: 'old, stable' }] }),
      seen('1b', {
        conditionClass: 'not-accessible',
        urgency: null,
        recommendation: null,
        reasons: [{ text: 'behind the organ', source: 'surveyor' }],
      }),
    ],
    { nextInspection: '2031', environment: { condensation: 'on the inside, daily' } },
  );
  const told = await answer<Survey>(archive.keeper.post(surveys(), body), 201);
  expect(told.panels.map(({ mark }) => mark)).toEqual(['1a', '1b']);
  const standing = () =>
    answer(archive.keeper.get(`/v1/panels/${site.panels['1a']!}/conditions`), 200);
  expect(await standing()).toMatchObject({
    items: [{ conditionClass: 2, urgency: 1, surveyId: told.surveyId, state: 'recorded' }],
  });
  const window = await answer<{ panels: { mark: string; condition: object | null }[] }>(
    archive.keeper.get(`/v1/windows/${site.windowId}`),
    200,
  );
  expect(window.panels.find(({ mark }) => mark === '1b')).toMatchObject({
    condition: { conditionClass: 'not-accessible', reason: 'behind the organ' },
  });
  const withdraw = `/v1/surveys/${told.surveyId}/withdraw`;
  await answer(archive.keeper.post(withdraw, { reason: 'x' }, { 'If-Match': '"1"' }), 412);
  await answer(archive.keeper.post(withdraw, { reason: 'another window' }), 200);
  await answer(archive.keeper.post(withdraw, { reason: 'again' }), 409);
  expect(await standing()).toMatchObject({ items: [{ state: 'withdrawn' }] });
  await answer(
    archive.keeper.post('/v1/surveys/00000000-0000-7000-8000-000000000001/withdraw', {
      reason: 'x',
    }),
    404,
  );
});

it('lets a sample wait for its result, and gives it one result only', async () => {
  const tests = `/v1/sites/${site.siteId}/tests`;
  const sample = {
    subject: 'wI.2a',
    kind: 'putty-asbestos',
    place: 'lower edge',
    method: 'scalpel, wetted',
    sample: 'tube 7, shelf 2',
    happened: '2026-05-05',
  };
  await answer(archive.keeper.post(tests, { ...sample, kind: 'taste' }), 400);
  await answer(archive.keeper.post(tests, { ...sample, subject: 'wI.9z' }), 422);
  await answer(archive.keeper.post(tests, { ...sample, known: { outcome: 'holds' } }), 422);
  await answer(archive.keeper.post(tests, { ...sample, happened: 'now' }), 422);
  // a place on the drawing is measured from a panel's corner: on a window there is none
  await answer(archive.keeper.post(tests, { ...sample, subject: 'wI', atMm: [10, 20] }), 422);
  await answer(archive.keeper.post(tests, { ...sample, atMm: [200_000, 20] }), 422);
  const { testId } = await answer<{ testId: string }>(
    archive.keeper.post(tests, { ...sample, atMm: [118.04, 593] }),
    201,
  );
  expect(await answer(archive.keeper.get(`${tests}?subject=SLM.wI.2a`), 200)).toMatchObject({
    items: [{ testId, atMm: [118.04, 593] }],
  });
  const record = await answer(
    archive.keeper.get('/v1/records/condition?subject=SLM.wI.2a&format=json'),
    200,
  );
  expect(JSON.stringify(record)).toContain(
    'lower edge (118 mm right, 593 mm down from the panel’s upper left corner)',
  );
  expect(await answer(archive.keeper.get(`${tests}?awaited=1`), 200)).toMatchObject({
    items: [{ testId, outcome: null }],
  });
  const result = `/v1/tests/${testId}/result`;
  await answer(archive.keeper.post(result, { outcome: 'loose', happened: '2026-05-20' }), 422);
  const known = { outcome: 'not-found', result: 'polarised light', happened: '2026-05-20' };
  expect(await answer(archive.keeper.post(result, known), 200)).toMatchObject({
    outcome: 'not-found',
    knownOn: '2026-05-20',
    happened: '2026-05-05',
  });
  await answer(archive.keeper.post(result, known), 409);
  expect(await answer(archive.keeper.get(`${tests}?awaited=1`), 200)).toMatchObject({ items: [] });
  expect(await answer(archive.keeper.get(`${tests}?subject=SLM.wI`), 200)).toMatchObject({
    items: [{ testId }],
  });
  const withdraw = `/v1/tests/${testId}/withdraw`;
  await answer(archive.keeper.post(withdraw, { reason: 'swapped tubes' }), 200);
  await answer(archive.keeper.post(withdraw, { reason: 'again' }), 409);
  await answer(archive.keeper.post(result, known), 409);
});
