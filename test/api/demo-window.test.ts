/** The demo's west window as its filling tells it, without its pictures: what stands then, and that it may be told twice. */
import { clientOf, type DemoClient } from '../../apps/worker/src/demo/demo-client.js';
import {
  describeChapel,
  recordBulges,
  recordTests,
} from '../../apps/worker/src/demo/fill-bench.js';
import {
  recordCampaign,
  recordCrates,
  recordWhereabouts,
} from '../../apps/worker/src/demo/fill-campaign.js';
import { recordPastWork, recordSurveys } from '../../apps/worker/src/demo/fill-past.js';
import { SALLOWMERE_WINDOWS } from '../../apps/worker/src/demo/sallowmere-windows.js';
import { type ApiArchive, startApiArchive } from '../support/api-archive.js';

interface Panel {
  readonly panelId: string;
  readonly mark: string;
  readonly ringMm: readonly number[];
  readonly workState: string;
}

let archive: ApiArchive;
let client: DemoClient;
let siteId: string;
const windowIds = new Map<string, string>();

beforeAll(async () => {
  archive = await startApiArchive();
  client = clientOf(archive.url, archive.cookie);
  ({ siteId } = await client.post<{ siteId: string }>('/v1/sites', 'site', {
    code: 'SLM',
    name: 'Sallowmere Chapel',
    scheme: 'church',
  }));
  for (const window of SALLOWMERE_WINDOWS) {
    const path = `/v1/sites/${siteId}/windows`;
    const { windowId } = await client.post<{ windowId: string }>(path, window.mark, window);
    windowIds.set(window.mark, windowId);
  }
}, 60_000);
afterAll(() => archive.close());

const panelsOf = async (mark: string) =>
  (await client.get<{ panels: Panel[] }>(`/v1/windows/${windowIds.get(mark)!}`)).panels;

async function tell(): Promise<void> {
  const west = { siteId, windowId: windowIds.get('wI')!, surveyor: client, glazier: client };
  const panels = await panelsOf('wI');
  await recordSurveys(client, west.windowId, panels);
  await recordWhereabouts(west);
  await recordPastWork(client, siteId);
  await recordCampaign(west);
  await describeChapel(client, siteId, windowIds);
  const [onBench] = (await panelsOf('sII')).filter(({ mark }) => mark === '2a');
  await recordTests(client, siteId, onBench!.panelId);
  await recordCrates(west);
  await recordBulges(client, panels.find(({ mark }) => mark === '26b')!.panelId);
}

const size = async () => {
  const { items } = await client.get<{ items: { logId: string; size: number }[] }>('/v1/logs');
  return items.map((log) => log.size);
};

it('tells a campaign in the middle: what is where, what it took, and what waits for a reason', async () => {
  await tell();
  const { items: campaigns } = await client.get<{ items: { campaignId: string }[] }>(
    `/v1/sites/${siteId}/campaigns`,
  );
  const campaign = `/v1/campaigns/${campaigns[0]!.campaignId}`;
  // 38 + 8 × 4 came out, three of them are back; rows 21 to 26 and the low tracery wait
  expect(await client.get(`${campaign}/progress`)).toMatchObject({
    minutesDone: 1130 + 290 + 2240 + 150 + 700,
    openFlags: 2,
    withoutConsent: [],
    openConditions: [{ text: expect.stringContaining('two panels at the bench') as string }],
    panels: { 'in-place': 83, out: 48, 'on-bench': 4, rebuilt: 15 },
  });
  const { items: flags } = await client.get<{ items: { kind: string; subject: string }[] }>(
    `/v1/sites/${siteId}/flags`,
  );
  expect(flags.map(({ kind, subject }) => `${kind} ${subject}`).sort()).toEqual([
    'broken-in-transit SLM.wI.26c',
    'departure SLM.wI.28b',
  ]);
  const { ranked } = await client.get<{ ranked: { mark: string }[] }>(
    `/v1/sites/${siteId}/ranking`,
  );
  expect(ranked.map(({ mark }) => mark).sort()).toEqual(['SLM.I', 'SLM.nII', 'SLM.sII', 'SLM.wI']);
  const { items: tests } = await client.get<{ items: { atMm: object | null }[] }>(
    `/v1/sites/${siteId}/tests?subject=SLM.sII.2a`,
  );
  expect(tests.map(({ atMm }) => atMm !== null)).toEqual([true, true, true, true]);
}, 120_000);

it('may be told again after it was cut short, and writes nothing twice', async () => {
  const before = await size();
  await tell();
  expect(await size()).toEqual(before);
}, 120_000);
