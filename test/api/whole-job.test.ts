/**
 * One panel of the window of 150 from survey to dossier, by the API alone: with a departure from what
 * was consented, and a piece that breaks on the way. Order is advice (nothing is refused for it); what
 * cannot be, and signing over an open flag, is.
 */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { rebuildProjections } from '#libs/archive';
import { openObjectStore } from '#libs/objects';
import { SALLOWMERE_WINDOWS } from '../../apps/worker/src/demo/sallowmere-windows.js';
import type { RunningWorker } from '../../apps/worker/src/start-worker.js';
import {
  type ApiArchive,
  answer,
  type Person,
  startApiArchive,
  twoPieces,
} from '../support/api-archive.js';
import { imageBytes } from '../support/media-archive.js';
import { projectionDump } from '../support/projection-dump.js';
import { writtenDossier } from '../support/written-dossier.js';

const MARK = 'SLM.wI.3b';
/** Nobody outside the studio is to read it. */
const PLACE = 'the painter’s kiln room';

let archive: ApiArchive;
let worker: RunningWorker;
let conservator: Person;
let glazier: Person;
let owner: Person;
let folder: string;
let siteId: string;
let windowId: string;
let panelId: string;
let campaignId: string;
let photograph: string;
const ids = new Map<string, string>();

interface Flag {
  flagId: string;
  kind: string;
  subject: string;
  sentence: string;
}

beforeAll(async () => {
  archive = await startApiArchive();
  worker = await archive.startWorker();
  folder = await mkdtemp(join(tmpdir(), 'whole-job-'));
  ({ siteId } = await answer<{ siteId: string }>(
    archive.keeper.post('/v1/sites', { code: 'SLM', name: 'Sallowmere Chapel', scheme: 'church' }),
    201,
  ));
  const { mark, title, drawing } = SALLOWMERE_WINDOWS.find((one) => one.mark === 'wI')!;
  ({ windowId } = await answer<{ windowId: string }>(
    archive.keeper.post(`/v1/sites/${siteId}/windows`, { mark, title, drawing }),
    201,
  ));
  for (const panel of (await window()).panels) ids.set(panel.mark, panel.panelId);
  panelId = ids.get('3b')!;
  conservator = await archive.person('conservator', 'conservator', siteId);
  glazier = await archive.person('glazier', 'recorder', siteId);
  owner = await archive.person('owner', 'approver', siteId);
  const sent = await fetch(
    `${archive.url}/v1/sites/${siteId}/media?fileName=3b.jpg&kind=photograph&subjects=wI.3b`,
    {
      method: 'PUT',
      headers: { Cookie: archive.cookie, 'Content-Type': 'image/jpeg' },
      body: new Uint8Array(imageBytes('with-place.jpg')),
    },
  );
  photograph = ((await sent.json()) as { mediaId: string }).mediaId;
}, 120_000);
afterAll(async () => {
  await worker.close();
  await archive.close();
  await rm(folder, { recursive: true, force: true });
});

const window = (query = '') =>
  answer<{ panels: { mark: string; panelId: string; workState: string }[] }>(
    archive.keeper.get(`/v1/windows/${windowId}${query}`),
    200,
  );
const stateOf = async (query = '') =>
  (await window(query)).panels.find(({ mark }) => mark === '3b')!.workState;
const panel = (what: string, mark = '3b') => `/v1/panels/${ids.get(mark)!}/${what}`;
const post = <T = Record<string, unknown>>(
  who: Person,
  path: string,
  body: object = {},
  status = 201,
) => answer<T>(who.post(path, body), status);
const openFlags = async (query = '') =>
  (await answer<{ items: Flag[] }>(conservator.get(`/v1/sites/${siteId}/flags?${query}`), 200))
    .items;
const answerFlags = async (reason: string, query = '') => {
  for (const { flagId } of await openFlags(query))
    await post(conservator, `/v1/flags/${flagId}/answer`, { reason }, 200);
};
const work = (operation: string, happened: string, more: object = {}) =>
  post<{ interventionId: string }>(glazier, `/v1/sites/${siteId}/interventions`, {
    subjects: ['wI.3b'],
    operation,
    happened,
    byRole: 'glazier',
    ...more,
  });

it('is surveyed: a class with reasons, tests before anything is proposed, the bulge measured', async () => {
  await post(conservator, `/v1/windows/${windowId}/surveys`, {
    purpose: 'before the campaign',
    happened: '2026-01-12',
    nextInspection: '2031-01',
    panels: [
      {
        panelId,
        conditionClass: 3,
        urgency: 2,
        recommendation: 3,
        reasons: [{ text: 'bulged, and a break through the head', source: 'surveyor' }],
      },
    ],
  });
  await post(conservator, `/v1/sites/${siteId}/tests`, {
    subject: 'wI.3b',
    kind: 'paint-adhesion',
    place: 'the head',
    method: 'soft brush, dry',
    happened: '2026-01-13',
    known: { outcome: 'holds', result: 'nothing came off' },
  });
  // a dome of 20 mm, read on a grid
  const grid = [0, 0.2, 0.4, 0.6, 0.8, 1];
  const readings = grid.flatMap((x) =>
    grid.map((y) => [x * 400, y * 400, 20 * Math.sin(Math.PI * x) * Math.sin(Math.PI * y)]),
  );
  await post(conservator, panel('deflections'), {
    datum: 'string-line',
    face: 'inside',
    sense: 'out',
    noiseMm: 0.5,
    happened: '2026-01-13',
    readings,
  });
  const ranked = await answer<{ ranked: { mark: string }[] }>(
    conservator.get(`/v1/sites/${siteId}/ranking`),
    200,
  );
  expect(ranked.ranked.map(({ mark }) => mark)).toEqual(['SLM.wI']);
});

it('is proposed and consented to by letter, under a condition that is met', async () => {
  ({ campaignId } = await post<{ campaignId: string }>(
    conservator,
    `/v1/sites/${siteId}/campaigns`,
    { title: 'the west window', scope: ['wI'], happened: '2026-01-20' },
  ));
  const line = {
    subjects: ['wI.3b'],
    need: 'bulged; a break through the head',
    options: [
      { what: 'leave it in place', operations: [], speaksAgainst: 'it bulges on' },
      {
        what: 'take it out, bond the head edge to edge, re-lead in part',
        operations: ['bond.epoxy', 'relead.part', 'cement'],
        speaksFor: 'original glass and paint are kept',
      },
    ],
    chosen: 1,
    why: 'the break is clean and the paint holds',
    materials: ['epoxy resin'],
    where: 'taken-out',
  };
  const { issueId } = await post<{ issueId: string }>(
    conservator,
    `/v1/campaigns/${campaignId}/proposals`,
    { title: 'panel 3b', lines: [line] },
  );
  const out = { how: 'letter', to: 'the keepers of the chapel', happened: '2026-01-22' };
  await post(conservator, `/v1/proposals/${issueId}/send`, out, 200);
  const consent = await post<{ consentId: string; conditions: { conditionId: string }[] }>(
    conservator,
    `/v1/proposals/${issueId}/letter`,
    {
      decision: 'given',
      by: 'A. Warden',
      forWhom: 'the keepers of the chapel',
      happened: '2026-02-01',
      expires: '2027-02-01',
      mediaId: photograph,
      conditions: [{ text: 'paint tested first', due: 'before-work' }],
    },
  );
  const met = `/v1/consents/${consent.consentId}/conditions/${consent.conditions[0]!.conditionId}/met`;
  await post(conservator, met, { how: 'tested, holds', happened: '2026-02-02' }, 200);
  expect(await openFlags()).toEqual([]);
});

it('comes out from the top down, and where it stood is kept', async () => {
  const { removal } = await answer<{ removal: { mark: string }[] }>(
    glazier.get(`/v1/windows/${windowId}/sequence`),
    200,
  );
  const order = removal.map(({ mark }) => mark);
  expect(order).toHaveLength(150);
  // everything over it in its light comes before it: common practice, no source
  const before = order.slice(0, order.indexOf('3b') + 1);
  for (let row = 4; row <= 28; row++) expect(before).toContain(`${row}b`);
  const stated = {
    facing: { state: 'sound', how: 'tested in January' },
    support: 'boarded both faces',
    tag: { on: 'lead', upArrow: true, face: 'inside' },
    faceUpPhoto: photograph,
    happened: '2026-03-02',
  };
  for (const mark of before) await post(glazier, panel('removal', mark), stated);
  expect(await openFlags('kind=out-of-sequence')).toEqual([]);
  expect(await stateOf()).toBe('out');
  expect(await stateOf('?at=2026-03-01')).toBe('in-place');
  await post(glazier, `/v1/windows/${windowId}/protection`, {
    panels: ['3b'],
    by: 'boarding',
    checkedByRole: 'glazier',
    happened: '2026-03-02',
  });
}, 120_000);

it('travels in one crate, never in two, and breaks on the way', async () => {
  const crates = `/v1/sites/${siteId}/crates`;
  const one = await post<{ crateId: string }>(glazier, crates, { mark: '1', slots: 6 });
  const two = await post<{ crateId: string }>(glazier, crates, { mark: '2', slots: 6 });
  const movements = `/v1/sites/${siteId}/movements`;
  const into = (crateId: string) => ({
    things: [{ mark: 'wI.3b', slot: '1' }],
    to: { kind: 'crate', crateId },
    happened: '2026-03-03',
  });
  await post(glazier, movements, into(one.crateId));
  expect(await post<{ type: string }>(glazier, movements, into(two.crateId), 409)).toMatchObject({
    type: '/problems/in-another-crate',
  });
  const { movementId } = await post<{ movementId: string }>(glazier, movements, {
    crateIds: [one.crateId],
    to: { kind: 'holder', role: 'carrier', place: PLACE },
    happened: '2026-03-04',
  });
  const path = `/v1/movements/${movementId}`;
  const seen = (condition: string) => [{ mark: 'wI.3b', condition }];
  await post(glazier, `${path}/hand-over`, { byRole: 'glazier', seen: seen('sound') });
  await post(glazier, `${path}/receive`, {
    byRole: 'conservator',
    seen: seen('broken'),
    unpackedTo: { kind: 'bench' },
  });
  expect(await openFlags('kind=broken-in-transit')).toMatchObject([{ subject: MARK }]);
  const { now } = await answer<{ now: { at: object } }>(
    glazier.get(`/v1/marks/${MARK}/whereabouts`),
    200,
  );
  expect(now.at).toMatchObject({ kind: 'bench' });
});

it('is drawn, signed, dismantled; its leads are known before they are cut', async () => {
  await post(conservator, panel('nets'), { sketch: twoPieces(), note: 'from the rubbing' }, 428);
  await answer(
    conservator.post(
      panel('nets'),
      { sketch: twoPieces(), note: 'from the rubbing' },
      {
        'If-Match': '"0"',
      },
    ),
    201,
  );
  const signed = await conservator.post(panel('nets/1/sign'), {}, { 'If-Match': '"1"' });
  expect([200, 201]).toContain(signed.status);
  await post(glazier, panel('dismantling'), {
    allPieces: true,
    cameSample: { kept: true, name: 'C1', leadId: 'L1' },
    putty: { state: 'soaked', tested: 'free-of-asbestos', with: 'linseed oil', hours: 48 },
    happened: '2026-04-01',
  });
  const finding = {
    term: 'glass.crack.simple',
    inPanel: '1',
    geometry: {
      kind: 'line',
      xyMm: [
        [20, 20],
        [150, 200],
      ],
    },
    face: 'inside',
    layer: 'front',
  };
  await post(conservator, panel('findings'), finding);
});

it('is treated as consented, and once otherwise, which is kept and flagged', async () => {
  const { materialId } = await post<{ materialId: string }>(archive.keeper, '/v1/materials', {
    name: 'epoxy resin',
    batch: '31',
    unit: 'g',
    quantity: '10',
  });
  await work('bond.epoxy', '2026-04-10', { materials: [{ materialId, quantity: '0.4' }] });
  await work('relead.part', '2026-04-20');
  expect(await openFlags('kind=departure')).toEqual([]);
  await work('plate', '2026-04-22');
  expect(await openFlags('kind=departure')).toMatchObject([{ subject: MARK }]);
  // what was done before anybody agreed is kept as well
  await work('bond.epoxy', '2026-01-30');
  expect(await openFlags('kind=done-before-consent')).toMatchObject([{ subject: MARK }]);
  await post(glazier, `/v1/campaigns/${campaignId}/time`, {
    minutes: 240,
    task: 'relead.part',
    happened: '2026-04-20',
  });
});

it('is rebuilt with a piece missing, and signed only when every flag has its answer', async () => {
  const list = {
    revision: 1,
    pieces: [
      { mark: '1', is: 'in' },
      { mark: '2', is: 'missing', note: 'never came out of the crate' },
    ],
    closes: true,
    happened: '2026-05-04',
  };
  await post(glazier, panel('rebuild-check'), list);
  expect(await openFlags('kind=piece-missing')).toMatchObject([{ subject: `${MARK}.2` }]);
  const signing = { recordVersion: await recordVersion(), happened: '2026-05-05' };
  for (const [path, body] of [
    [panel('rebuild-sign'), {}],
    [panel('signatures'), signing],
    [closing(), { happened: '2026-05-05' }],
  ] as const) {
    expect(await post<{ type: string }>(conservator, path, body, 409)).toMatchObject({
      type: '/problems/flags-open',
    });
  }
  await answerFlags('looked into with the owner', `subject=${MARK}`);
  await post(conservator, panel('rebuild-sign'));
  expect(await stateOf()).toBe('rebuilt');
  await post(conservator, panel('signatures'), {
    recordVersion: await recordVersion(),
    happened: '2026-05-05',
  });
});

const closing = () => `/v1/campaigns/${campaignId}/close`;
const recordVersion = async () =>
  (
    await answer<{ version: { version: string } }>(
      conservator.get(`/v1/records/treatment?subject=${MARK}&format=json`),
      200,
    )
  ).version.version;

it('goes back, the campaign closes once nothing is open, and the next look has its day', async () => {
  await post(glazier, panel('refix'), {
    bars: [{ mark: 'bar-1', state: 'replaced' }],
    ties: { count: 6, material: 'copper' },
    pointing: { with: 'lime mortar' },
    ventilationGapMm: 40,
    happened: '2026-06-01',
  });
  expect(await stateOf()).toBe('in-place');
  expect(await stateOf('?at=2026-05-20')).toBe('rebuilt');
  expect(await openFlags(`campaignId=${campaignId}`)).toEqual([]);
  await post(conservator, closing(), { happened: '2026-07-01' }, 200);
  const { items } = await answer<{ items: { mark: string; nextInspection: string }[] }>(
    owner.get(`/v1/sites/${siteId}/inspections`),
    200,
  );
  expect(items).toMatchObject([{ mark: 'SLM.wI', nextInspection: '2031-01' }]);
});

// the fields of the reference's treatment record that nobody writes down twice
it('tells the whole of the work in the treatment record, out of its steps', async () => {
  const record = await answer<Record<string, unknown>>(
    owner.get(`/v1/records/treatment?subject=${MARK}&format=json`),
    200,
  );
  expect(record).toMatchObject({
    startedFrom: { version: expect.stringMatching(/^[1-9]/) as string },
    keptAndRemoved: `${MARK}: put back 1 of 2 pieces; missing 2`,
    cleaning: null,
    structuralChange: `${MARK}: bar-1 replaced; 6 ties of copper; pointed with lime mortar; ventilation gap 40 mm`,
    retained: expect.stringContaining(`${MARK}: old came C1 from L1`) as string,
    safetyLog: expect.stringContaining(
      `${MARK}: putty soaked, free of asbestos, soaked with linseed oil, 48 hours`,
    ) as string,
  });
  expect(record['newWork']).toMatch(/plate/);
  expect(record['newWork']).not.toMatch(/bond/);
});

it('leaves a dossier that verifies, without places and hours where it is handed out', async () => {
  for (const kind of ['handed-out', 'keepers']) {
    const zip = await writtenDossier(archive, siteId, { subject: 'wI', kind }, folder);
    expect([kind, zip.includes(PLACE)]).toEqual([kind, kind === 'keepers']);
    expect([kind, zip.includes('"minutes":240')]).toEqual([kind, kind === 'keepers']);
  }
}, 180_000);

it('comes out the same when every row is made anew from the ledger', async () => {
  const before = await projectionDump(archive.pool);
  await rebuildProjections(archive.pool, await openObjectStore(archive.config.objects));
  expect(await projectionDump(archive.pool)).toEqual(before);
}, 60_000);
