/** Work is never refused for its order: what is out of order is kept, flagged, and answered for. */
import { type ApiArchive, answer, type Person, startApiArchive } from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;
let recorder: Person;

interface Flag {
  flagId: string;
  kind: string;
  subject: string;
  sentence: string;
  state: string;
  answer: string | null;
  isOwnAnswer: boolean;
  version: number;
}
interface Campaign {
  campaignId: string;
  scope: string[];
  state: string;
  version: number;
}

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
  recorder = await archive.person('recorder', 'recorder', site.siteId);
}, 60_000);
afterAll(() => archive.close());

const begun = (scope: string[]) =>
  answer<Campaign>(
    archive.keeper.post(`/v1/sites/${site.siteId}/campaigns`, {
      title: 'a light',
      scope,
      happened: '2026-02-01',
    }),
    201,
  );
const done = (said: object, who = archive.keeper) =>
  answer<{ campaignId: string | null; interventionId: string }>(
    who.post(`/v1/sites/${site.siteId}/interventions`, { happened: '2026-03-04', ...said }),
    201,
  );
const flagsOf = async (query: string) =>
  (
    await answer<{ items: Flag[] }>(
      archive.keeper.get(`/v1/sites/${site.siteId}/flags?${query}`),
      200,
    )
  ).items;

it('work before consent is kept and flagged; so is an operation without its reason', async () => {
  const { campaignId } = await begun(['wI.1a']);
  const work = await done({ subjects: ['wI.1a'], operation: 'relead.whole' }, recorder);
  expect(work.campaignId).toBe(campaignId);
  const flags = await flagsOf(`campaignId=${campaignId}`);
  expect(flags.map(({ kind, subject, state }) => ({ kind, subject, state }))).toEqual(
    expect.arrayContaining([
      { kind: 'done-before-consent', subject: 'SLM.wI.1a', state: 'open' },
      { kind: 'reason-missing', subject: 'SLM.wI.1a', state: 'open' },
    ]),
  );
  expect(flags).toHaveLength(2);
  expect(flags.find(({ kind }) => kind === 'done-before-consent')?.sentence).toBe(
    'releaded whole was recorded for 2026-03-04; no consent covered it on that day.',
  );
});

it('a test needs no consent, and work outside of campaigns is not held against any', async () => {
  const { campaignId } = await begun(['wI.2a']);
  await done({ subjects: ['wI.2a'], operation: 'examine.paint-test' });
  const past = await done({ subjects: ['wI.2a'], operation: 'relead.whole', happened: '1931~' });
  expect(past.campaignId).toBeNull();
  const other = await done({ subjects: ['wI.2b'], operation: 'relead.whole' });
  expect(other.campaignId).toBeNull();
  expect(await flagsOf(`campaignId=${campaignId}&state=all`)).toEqual([]);
});

it('a batch past its date is flagged with its number', async () => {
  const { campaignId } = await begun(['wI.2b']);
  const materials = [{ name: 'epoxy resin', batch: '77', expires: '2026-02' }];
  await done({ subjects: ['wI.2b'], operation: 'examine.survey', materials, campaignId });
  expect(await flagsOf('kind=material-expired')).toMatchObject([
    {
      subject: 'SLM.wI.2b',
      sentence: 'epoxy resin, batch 77, was good until 2026-02; it was used on 2026-03-04.',
    },
  ]);
});

it('a batch past its date is flagged outside of campaigns too', async () => {
  const materials = [{ name: 'epoxy resin', batch: '78', expires: '2019-06' }];
  const work = await done({
    subjects: ['wI.1b'],
    operation: 'bond.epoxy',
    materials,
    happened: '2020',
  });
  expect(work.campaignId).toBeNull();
  await done({ subjects: ['wI.1b'], operation: 'bond.epoxy', materials, happened: '2019' });
  const flags = await flagsOf('kind=material-expired');
  expect(flags.map(({ subject, sentence }) => ({ subject, sentence }))).toContainEqual({
    subject: 'SLM.wI.1b',
    sentence: 'epoxy resin, batch 78, was good until 2019-06; it was used on 2020.',
  });
  expect(flags.filter(({ subject }) => subject === 'SLM.wI.1b')).toHaveLength(1);
  await answer(
    archive.keeper.post(
      `/v1/flags/${flags.find(({ subject }) => subject === 'SLM.wI.1b')!.flagId}/answer`,
      { reason: 'tested before it was used' },
    ),
    200,
  );
});

it('is answered with a reason by whoever may judge it, once, and corrected by its version', async () => {
  const [flag] = await flagsOf('kind=material-expired');
  const path = `/v1/flags/${flag!.flagId}/answer`;
  await answer(archive.keeper.post(path, {}), 400);
  await answer(recorder.post(path, { reason: 'a trial piece' }), 403);
  const told = await answer<Flag>(archive.keeper.post(path, { reason: 'a trial piece' }), 200);
  expect(told).toMatchObject({ state: 'answered', answer: 'a trial piece', isOwnAnswer: true });
  const again = await answer<{ type: string }>(archive.keeper.post(path, { reason: 'x' }), 409);
  expect(again.type).toBe('/problems/flag-answered');
  await answer(archive.keeper.post(path, { reason: 'x' }, { 'If-Match': '1' }), 412);
  const corrected = await answer<Flag>(
    archive.keeper.post(
      path,
      { reason: 'a trial piece, thrown away' },
      { 'If-Match': `${told.version}` },
    ),
    200,
  );
  expect(corrected.answer).toBe('a trial piece, thrown away');
  expect(await flagsOf('kind=material-expired')).toEqual([]);
  const stranger = await archive.person('elsewhere', null);
  await answer(stranger.post(path, { reason: 'x' }), 404);
});

it('a campaign is not closed over open flags, and is closed once they are answered', async () => {
  const { campaignId } = (await flagsOf('kind=done-before-consent'))[0] as unknown as Campaign;
  const close = `/v1/campaigns/${campaignId}/close`;
  const refused = await answer<{ type: string; flags: string[]; sentences: string[] }>(
    archive.keeper.post(close, { happened: '2026-06' }),
    409,
  );
  expect(refused.type).toBe('/problems/flags-open');
  const open = await flagsOf(`campaignId=${campaignId}`);
  expect([...refused.flags].sort()).toEqual(open.map(({ flagId }) => flagId).sort());
  expect(refused.sentences[0]).toMatch(/^SLM\.wI\.1a: /);
  for (const { flagId } of open) {
    await answer(
      archive.keeper.post(`/v1/flags/${flagId}/answer`, { reason: 'the frame had given way' }),
      200,
    );
  }
  await answer(archive.keeper.post(close, { happened: 'soon' }), 422);
  expect(await answer(archive.keeper.post(close, { happened: '2026-06' }), 200)).toMatchObject({
    state: 'closed',
    closed: '2026-06',
  });
  const again = await answer<{ type: string }>(
    archive.keeper.post(close, { happened: '2026-06' }),
    409,
  );
  expect(again.type).toBe('/problems/campaign-closed');
});

it('is extended by its version only, with marks that are there', async () => {
  const campaign = await begun(['wI.2a']);
  const path = `/v1/campaigns/${campaign.campaignId}`;
  await answer(archive.keeper.put(path, { scope: ['wI'] }), 428);
  await answer(archive.keeper.put(path, { scope: ['wI'] }, { 'If-Match': '0' }), 412);
  const match = { 'If-Match': `${campaign.version}` };
  await answer(archive.keeper.put(path, { scope: ['wI.9z'] }, match), 422);
  expect(
    await answer<Campaign>(archive.keeper.put(path, { scope: ['wI'] }, match), 200),
  ).toMatchObject({
    scope: ['SLM.wI'],
  });
  await answer(recorder.put(path, { title: 'x' }, match), 403);
});

it.each([
  ['no place', { title: 'x', scope: [], happened: '2026' }, 400],
  ['a place that is not there', { title: 'x', scope: ['wI.7a'], happened: '2026' }, 422],
  ['a day that is none', { title: 'x', scope: ['wI'], happened: 'spring' }, 422],
  [
    'somebody who is not there',
    {
      title: 'x',
      scope: ['wI'],
      happened: '2026',
      people: [{ personId: '019abcde-0000-7000-8000-000000000000', duty: 'glazier' }],
    },
    404,
  ],
])('a campaign with %s is refused', async (_what, body, status) => {
  await answer(archive.keeper.post(`/v1/sites/${site.siteId}/campaigns`, body), status);
});

it.each([
  ['a campaign of nowhere', { campaignId: '019abcde-0000-7000-8000-000000000000' }, 404],
  [
    'a batch that the register has not',
    { materials: [{ materialId: '019abcde-0000-7000-8000-000000000000' }] },
    422,
  ],
  ['a material without a name', { materials: [{ batch: '7' }] }, 400],
  ['a quantity that is no decimal', { materials: [{ name: 'epoxy', quantity: '1e3' }] }, 400],
])('work with %s is refused', async (_what, said, status) => {
  const body = { subjects: ['wI.2a'], operation: 'bond.epoxy', happened: '2026-03', ...said };
  await answer(archive.keeper.post(`/v1/sites/${site.siteId}/interventions`, body), status);
});
