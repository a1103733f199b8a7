/** Proposals, the answers to them, and work held against what was consented to on its day. */
import { type ApiArchive, answer, type Person, startApiArchive } from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;
let conservator: Person;
let owner: Person;
let campaignId: string;

interface Proposal {
  issueId: string;
  proposalId: string;
  issue: number;
  digest: string;
  state: string;
  version: number;
}
interface Consent {
  consentId: string;
  decision: string;
  byText: string | null;
  isOnePerson: boolean;
  conditions: { conditionId: string; discharged: unknown }[];
}
interface Flag {
  flagId: string;
  kind: string;
  subject: string;
  sentence: string;
}

const LINE = {
  subjects: ['wI.2a'],
  need: 'a break through the face',
  options: [
    { what: 'leave it', operations: [], speaksAgainst: 'water comes in' },
    { what: 'bond it edge to edge', operations: ['bond.epoxy'], speaksFor: 'nothing is lost' },
  ],
  chosen: 1,
  why: 'the break is clean',
  materials: ['epoxy resin'],
  where: 'in-place',
};

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
  conservator = await archive.person('conservator', 'conservator', site.siteId);
  owner = await archive.person('owner', 'approver', site.siteId);
  ({ campaignId } = await answer<{ campaignId: string }>(
    archive.keeper.post(`/v1/sites/${site.siteId}/campaigns`, {
      title: 'the faces',
      scope: ['wI'],
      happened: '2026-01-10',
    }),
    201,
  ));
}, 60_000);
afterAll(() => archive.close());

const written = (body: object, who = conservator, headers = {}) =>
  answer<Proposal>(who.post(`/v1/campaigns/${campaignId}/proposals`, body, headers), 201);
const sent = async (lines: object[] = [LINE], who = conservator) => {
  const draft = await written({ title: 'the faces', lines }, who);
  const body = { how: 'program', to: 'the owner', happened: '2026-01-20' };
  return answer<Proposal>(who.post(`/v1/proposals/${draft.issueId}/send`, body), 200);
};
const worked = async (said: object) => {
  const body = { subjects: ['wI.2a'], operation: 'bond.epoxy', happened: '2026-03-02', ...said };
  const { interventionId } = await answer<{ interventionId: string }>(
    conservator.post(`/v1/sites/${site.siteId}/interventions`, body),
    201,
  );
  return interventionId;
};
const flags = async () =>
  (
    await answer<{ items: Flag[] }>(
      conservator.get(`/v1/sites/${site.siteId}/flags?campaignId=${campaignId}`),
      200,
    )
  ).items;
const settle = async () => {
  for (const { flagId } of await flags()) {
    await answer(conservator.post(`/v1/flags/${flagId}/answer`, { reason: 'looked into' }), 200);
  }
};
const typeOf = async (ask: Parameters<typeof answer>[0], status: number) =>
  (await answer<{ type: string }>(ask, status)).type;

it.each([
  ['without an option', { ...LINE, options: [] }, 400],
  ['that chooses what is not there', { ...LINE, chosen: 2 }, 400],
  [
    'with an operation of no vocabulary',
    { ...LINE, options: [{ what: 'x', operations: ['y'] }], chosen: 0 },
    422,
  ],
  ['about a place that is not there', { ...LINE, subjects: ['wI.9z'] }, 422],
])('a line %s is refused', async (_what, line, status) => {
  const body = { title: 'x', lines: [line] };
  await answer(conservator.post(`/v1/campaigns/${campaignId}/proposals`, body), status);
});

it('a draft is written over by its version; what was sent stays, and the next is another issue', async () => {
  const draft = await written({ title: 'one', lines: [LINE] });
  const { proposalId } = draft;
  const again = { title: 'one, better', lines: [LINE], proposalId };
  const path = `/v1/campaigns/${campaignId}/proposals`;
  await answer(conservator.post(path, again), 428);
  const better = await written(again, conservator, { 'If-Match': `${draft.version}` });
  expect(better).toMatchObject({ issueId: draft.issueId, issue: 1, state: 'draft' });
  const send = `/v1/proposals/${draft.issueId}/send`;
  const consent = { decision: 'given', happened: '2026-01-21', digest: better.digest };
  expect(await typeOf(owner.post(`/v1/proposals/${draft.issueId}/consent`, consent), 409)).toBe(
    '/problems/proposal-not-sent',
  );
  const how = { how: 'letter', to: 'the owner', happened: '2026-01-20' };
  const out = await answer<Proposal>(conservator.post(send, how), 200);
  expect(await typeOf(conservator.post(send, how), 409)).toBe('/problems/proposal-sent');
  const second = await written({ ...again, title: 'two' }, conservator, {
    'If-Match': `${out.version}`,
  });
  expect(second).toMatchObject({ issue: 2, state: 'draft', proposalId });
  expect(await typeOf(owner.post(`/v1/proposals/${out.issueId}/consent`, consent), 409)).toBe(
    '/problems/proposal-superseded',
  );
  const told = await answer<{ title: string; digest: string }>(
    owner.get(`/v1/proposals/${out.issueId}`),
    200,
  );
  expect(told).toMatchObject({ title: 'one, better', digest: better.digest });
});

it('whoever proposed it does not answer it where somebody else may; by what was read only', async () => {
  const proposal = await sent([LINE], archive.keeper);
  const path = `/v1/proposals/${proposal.issueId}/consent`;
  const said = { decision: 'given', happened: '2026-02-01', digest: proposal.digest };
  expect(await typeOf(archive.keeper.post(path, said), 409)).toBe('/problems/own-proposal');
  await answer(conservator.post(path, said), 403);
  await answer(owner.post(path, { ...said, digest: 'sha256:0' }), 412);
  await answer(owner.post(path, { ...said, lineNumbers: [2] }), 400);
  expect(
    await answer<Consent>(owner.post(path, { ...said, decision: 'refused' }), 201),
  ).toMatchObject({ decision: 'refused', isOnePerson: false });
});

it('work is held against the consent of its day: before, within, departing in operation, material, extent, after', async () => {
  await worked({ happened: '2026-02-10' });
  expect((await flags()).map(({ kind }) => kind)).toEqual(['done-before-consent']);
  await settle();

  const { issueId, digest } = await sent();
  const given = { decision: 'given', happened: '2026-02-20', expires: '2026-06-30', digest };
  await answer(owner.post(`/v1/proposals/${issueId}/consent`, given), 201);
  await worked({ materials: [{ name: 'Epoxy resin', batch: '7' }] });
  await worked({ operation: 'examine.paint-test', subjects: ['wI.1b'] });
  expect(await flags()).toEqual([]);

  await worked({ operation: 'bond.silicone' });
  await worked({ materials: [{ name: 'acrylic resin' }] });
  await worked({ subjects: ['wI.1b'] });
  await worked({ happened: '2026-07-01' });
  const told = (await flags()).map(({ kind, subject, sentence }) => [kind, subject, sentence]);
  expect(told).toEqual([
    [
      'consent-expired',
      'SLM.wI.2a',
      'bond, epoxy was recorded for 2026-07-01; the consent had run out on 2026-06-30.',
    ],
    ['departure', 'SLM.wI.1b', 'bond, epoxy: SLM.wI.1b is not in what was consented.'],
    ['departure', 'SLM.wI.2a', 'bond, epoxy: acrylic resin was used, consented was epoxy resin.'],
    ['departure', 'SLM.wI.2a', 'bond, silicone: what was consented there is bond, epoxy.'],
  ]);
});

it('signing over an open flag is refused, and so is signing what was not read', async () => {
  const panelId = site.panels['2a']!;
  const path = `/v1/panels/${panelId}/signatures`;
  const read = async () =>
    (
      await answer<{ version: { version: string }; departures: { why: string }[] }>(
        conservator.get('/v1/records/treatment?subject=SLM.wI.2a&format=json'),
        200,
      )
    ).version.version;
  const body = async () => ({ recordVersion: await read(), happened: '2026-08' });
  expect(await typeOf(conservator.post(path, await body()), 409)).toBe('/problems/flags-open');
  await settle();
  await answer(conservator.post(path, { recordVersion: '1', happened: '2026-08' }), 412);
  const signed = await answer<{ digest: string; recordVersion: string }>(
    conservator.post(path, await body()),
    201,
  );
  expect(signed.digest).toMatch(/^sha256:[0-9a-f]{64}$/);
  const record = await answer<Record<string, unknown>>(
    conservator.get('/v1/records/treatment?subject=SLM.wI.2a&format=json'),
    200,
  );
  expect(record['by']).toMatchObject({ name: 'conservator' });
  expect(record['proposal']).toMatch(/bond it edge to edge/);
  expect(record['options']).toMatch(/^not chosen: leave it/m);
  expect(record['consent']).toMatchObject({ by: expect.stringContaining('owner') as string });
  expect(record['departures']).toEqual(
    expect.arrayContaining([
      {
        what: 'bond, silicone: what was consented there is bond, epoxy.',
        why: 'looked into',
        agreedBy: 'conservator',
      },
    ]),
  );
  expect(await answer(archive.keeper.get(path), 200)).toMatchObject({ items: [{ panelId }] });
});

it('a letter has conditions; each is flagged once by work, then met', async () => {
  const { issueId } = await sent([{ ...LINE, subjects: ['wI.1b'] }]);
  const path = `/v1/proposals/${issueId}/letter`;
  const letter = {
    decision: 'given',
    by: 'Somebody Else',
    forWhom: 'the keepers of the chapel',
    happened: '2026-02-25',
    conditions: [{ text: 'paint tested first', due: 'before-work' }, { text: 'a report' }],
  };
  const mediaId = '019abcde-0000-7000-8000-000000000000';
  await answer(conservator.post(path, { ...letter, mediaId }), 422);
  await answer(conservator.post(path, { ...letter, happened: 'soon' }), 422);
  const consent = await answer<Consent>(conservator.post(path, letter), 201);
  expect(consent).toMatchObject({ byText: 'Somebody Else', isOnePerson: false });
  await worked({ subjects: ['wI.1b'] });
  await worked({ subjects: ['wI.1b'] });
  expect((await flags()).map(({ kind, sentence }) => [kind, sentence])).toEqual([
    [
      'consent-condition-open',
      'The consent of 2026-02-25 asks for “paint tested first”, and nobody has said that it was met.',
    ],
  ]);
  const [first] = consent.conditions;
  const met = `/v1/consents/${consent.consentId}/conditions/${first!.conditionId}/met`;
  const how = { how: 'tested at three places', happened: '2026-03-01' };
  await answer(conservator.post(met, how), 200);
  expect(await typeOf(conservator.post(met, how), 409)).toBe('/problems/condition-met');
  await answer(
    conservator.post(`/v1/consents/${consent.consentId}/conditions/${mediaId}/met`, how),
    404,
  );
});

it('progress tells hours to the studio, and what is in the way to everybody', async () => {
  const time = `/v1/campaigns/${campaignId}/time`;
  const spent = { minutes: 95, task: 'bond.epoxy', happened: '2026-03-02' };
  await answer(conservator.post(time, { ...spent, minutes: 0 }), 400);
  const interventionId = '019abcde-0000-7000-8000-000000000000';
  await answer(conservator.post(time, { ...spent, interventionId }), 404);
  await answer(conservator.post(time, spent), 201);
  await answer(
    conservator.post(time, { ...spent, minutes: 25, interventionId: await worked({}) }),
    201,
  );
  const reader = await archive.person('reader', 'reader', site.siteId);
  await answer(reader.get(time), 403);
  await answer(owner.get(time), 403);
  const path = `/v1/campaigns/${campaignId}/progress`;
  for (const outside of [reader, owner])
    expect(await answer(outside.get(path), 200)).toMatchObject({ minutesDone: null });
  expect(await answer(conservator.get(path), 200)).toMatchObject({
    minutesDone: 120,
    minutesExpected: null,
    openFlags: 1,
    openConditions: [{ text: 'a report' }],
    panels: { 'in-place': 4 },
  });
});

it('a campaign that ends over an open condition is closed, and flagged', async () => {
  await settle();
  const path = `/v1/campaigns/${campaignId}/close`;
  await answer(conservator.post(path, { happened: '2026-09' }), 200);
  expect((await flags()).map(({ kind, sentence }) => [kind, sentence])).toEqual([
    [
      'consent-condition-open',
      'The consent of 2026-02-25 asks for “a report”, and nobody has said that it was met.',
    ],
  ]);
});

it('prints a proposal with room for the answer', async () => {
  const told = await answer<{ items: Proposal[] }>(
    owner.get(`/v1/campaigns/${campaignId}/proposals`),
    200,
  );
  const pdf = await owner.get(`/v1/proposals/${told.items[0]!.issueId}/pdf`);
  expect(pdf.status).toBe(200);
  expect(pdf.headers['content-type']).toBe('application/pdf');
  expect((pdf.body as Buffer).subarray(0, 5).toString()).toBe('%PDF-');
});

it('a studio of one answers itself, and it says so', async () => {
  const alone = await startApiArchive();
  try {
    const { siteId } = await alone.site('ONE');
    const begun = { title: 'x', scope: ['wI'], happened: '2026-01' };
    const { campaignId: own } = await answer<{ campaignId: string }>(
      alone.keeper.post(`/v1/sites/${siteId}/campaigns`, begun),
      201,
    );
    const draft = await answer<Proposal>(
      alone.keeper.post(`/v1/campaigns/${own}/proposals`, { title: 'x', lines: [LINE] }),
      201,
    );
    const out = { how: 'by-hand', to: 'myself', happened: '2026-01' };
    await answer(alone.keeper.post(`/v1/proposals/${draft.issueId}/send`, out), 200);
    const said = { decision: 'given', happened: '2026-01', digest: draft.digest };
    expect(
      await answer(alone.keeper.post(`/v1/proposals/${draft.issueId}/consent`, said), 201),
    ).toMatchObject({ isOnePerson: true });
  } finally {
    await alone.close();
  }
}, 60_000);
