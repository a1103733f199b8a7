/** Fills the demo by the steps a studio takes: windows, pictures, rubbings, drawings, findings, work. */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { type DemoClient, jobDone, signedIn } from './demo-client.js';
import {
  DEMO_INTERVENTIONS,
  DEMO_PANELS,
  DEMO_PEOPLE,
  DEMO_SITE,
  RUBBING_CONDITIONS,
  RUBBING_SHEET,
} from './demo-texts.js';
import { describeChapel, layShards, recordBulges, recordTests, takeApart } from './fill-bench.js';
import {
  recordCampaign,
  recordCrates,
  recordWhereabouts,
  type WestWindow,
} from './fill-campaign.js';
import { describeGlass, recordPastWork, recordSurveys } from './fill-past.js';
import { TRAY } from './sallowmere-bench.js';
import { SALLOWMERE_WINDOWS } from './sallowmere-windows.js';
import { crackLine, lossPatch } from './shapes-in-ring.js';

export interface DemoPorts {
  /** address of the running server */
  readonly origin: string;
  /** fixtures/demo: one folder a panel, `sII-<mark>` */
  readonly picturesFolder: string;
  /** fixtures/shards: one tray with its outline */
  readonly shardsFolder: string;
  readonly step: (stage: string, ratio: number) => Promise<void>;
  /** called when enough is there to look round */
  readonly open: () => Promise<void>;
}

interface Thing {
  version: number;
}
interface Site extends Thing {
  siteId: string;
}
interface Window {
  windowId: string;
}
interface Panel extends Thing {
  panelId: string;
  shows: string | null;
  workState: string;
  mark: string;
  ringMm: number[];
}
interface Media {
  mediaId: string;
}
interface Piece {
  mark: string;
  provisional: boolean;
  ringMm: number[];
  areaMm2: number;
}
interface CaseInput {
  images: { control: unknown }[];
}

const SITE_MARK = DEMO_SITE.code;
const WINDOW_MARK = 'sII';
const AT_HOME = 'before';

/** @throws Error when the server refuses a step; calling again takes up where it stopped */
export async function fillDemo(ports: DemoPorts): Promise<void> {
  const head = await signedIn(ports.origin, 'Studio head');
  for (const { role, ...person } of DEMO_PEOPLE) {
    await head.post('/v1/people', `demo-person-${person.login}`, {
      ...person,
      roles: [{ siteId: null, role }],
    });
  }
  const surveyor = await signedIn(ports.origin, 'Surveyor');
  const glazier = await signedIn(ports.origin, 'Glazier');
  const { siteId } = await head.post<Site>('/v1/sites', 'demo-site', DEMO_SITE);
  const windowIds = await addWindows(surveyor, siteId);
  const west = { siteId, windowId: windowIds.get('wI')!, surveyor, glazier };
  const { panels: inWest } = await surveyor.get<{ panels: Panel[] }>(
    `/v1/windows/${west.windowId}`,
  );
  await recordSurveys(surveyor, west.windowId, inWest);
  await recordWhereabouts(west);
  await recordPastWork(glazier, siteId);
  const panels = await panelsOf(surveyor, windowIds.get(WINDOW_MARK)!);
  const filler = new PanelFiller(ports, { siteId, surveyor, glazier });
  for (const [i, said] of DEMO_PANELS.entries()) {
    const { mark } = said;
    await filler.fill(panels.get(mark)!, said, i / DEMO_PANELS.length);
    if (mark === '2a') await recordWork(glazier, siteId);
    if (mark.startsWith('2')) await describeGlass(surveyor, panels.get(mark)!, mark);
    // two panels with photographs, findings and work are enough to look round
    if (mark === '2b') {
      await ports.open();
      await fillRooms(ports, west, windowIds, panels);
    }
    if (mark === '1a') await takeApart(glazier, panels.get(mark)!);
  }
}

/** All windows; answers their ids by mark. */
async function addWindows(surveyor: DemoClient, siteId: string): Promise<Map<string, string>> {
  const ids = new Map<string, string>();
  for (const window of SALLOWMERE_WINDOWS) {
    const { windowId } = await surveyor.post<Window>(
      `/v1/sites/${siteId}/windows`,
      `demo-window-${window.mark}`,
      window,
    );
    ids.set(window.mark, windowId);
  }
  return ids;
}

/** Panels of a window: their ids by mark. */
async function panelsOf(surveyor: DemoClient, windowId: string): Promise<Map<string, string>> {
  const { panels } = await surveyor.get<{ panels: Panel[] }>(`/v1/windows/${windowId}`);
  return new Map(panels.map(({ mark, panelId }) => [mark, panelId]));
}

/** What the rooms beside the bench show; it comes while people look round. */
async function fillRooms(
  ports: DemoPorts,
  west: WestWindow,
  windowIds: ReadonlyMap<string, string>,
  onBench: ReadonlyMap<string, string>,
): Promise<void> {
  const { siteId, surveyor, glazier } = west;
  await recordCampaign(west);
  await describeChapel(surveyor, siteId, windowIds);
  await recordTests(surveyor, siteId, onBench.get('2a')!);
  await recordCrates(west);
  const panels = await panelsOf(surveyor, west.windowId);
  await recordBulges(surveyor, panels.get('26b')!);
  await layShards(glazier, siteId, panels.get(TRAY.panel)!, ports.shardsFolder);
}

async function recordWork(glazier: DemoClient, siteId: string): Promise<void> {
  for (const { key, panels, ...work } of DEMO_INTERVENTIONS) {
    await glazier.post(`/v1/sites/${siteId}/interventions`, `demo-work-${key}`, {
      ...work,
      subjects: panels.map((mark) => `${SITE_MARK}.${WINDOW_MARK}.${mark}`),
    });
  }
}

class PanelFiller {
  constructor(
    private readonly ports: DemoPorts,
    private readonly on: { siteId: string; surveyor: DemoClient; glazier: DemoClient },
  ) {}

  async fill(
    panelId: string,
    { mark, shows, sizeMm }: (typeof DEMO_PANELS)[number],
    ratio: number,
  ): Promise<void> {
    const { surveyor, glazier } = this.on;
    const folder = join(this.ports.picturesFolder, `${WINDOW_MARK}-${mark}`);
    const step = (stage: string, part: number) =>
      this.ports.step(`${WINDOW_MARK}.${mark}: ${stage}`, ratio + part / DEMO_PANELS.length);

    await step('the panel', 0);
    const panel = await surveyor.get<Panel>(`/v1/panels/${panelId}`);
    if (panel.shows !== shows) {
      await surveyor.put(
        `/v1/panels/${panelId}`,
        `demo-panel-${mark}`,
        { shows, sizes: sizesOf(sizeMm), workState: 'on-bench' },
        panel.version,
      );
    }

    await step('rubbing', 0.1);
    const sheet = await this.send(mark, join(folder, 'rubbing.jpg'), {
      kind: 'rubbing',
      happened: '2026-09-30',
      author: 'Glazier',
    });
    const { rubbingId } = await glazier.post<{ rubbingId: string }>(
      `/v1/panels/${panelId}/rubbings`,
      `demo-rubbing-${mark}`,
      {
        conditions: RUBBING_CONDITIONS,
        sheet: { ...RUBBING_SHEET, shelf: `plan chest 2, sheet ${WINDOW_MARK}-${mark}` },
        happened: '2026-09-30',
      },
    );
    const input = await readJson<CaseInput>(join(folder, 'input.json'));
    const clicks = await readJson<Record<string, unknown>>(join(folder, 'clicks.json'));
    const { jobId } = await glazier.post<{ jobId: string }>(
      `/v1/rubbings/${rubbingId}/extractions`,
      `demo-extraction-${mark}`,
      {
        pictures: [
          {
            mediaId: sheet.mediaId,
            control: input.images[0]!.control,
            taps: clicks['rubbing.jpg'],
          },
        ],
      },
    );
    const result = await jobDone(glazier, jobId, (done) =>
      step('reading the rubbing', 0.1 + 0.7 * done),
    );
    await glazier.post(
      `/v1/panels/${panelId}/nets/${String(result['revision'])}/sign`,
      `demo-sign-${mark}`,
      {},
    );
    await step('photograph and findings', 0.85);
    await this.layPhotograph(panelId, mark, folder);
    await this.recordFindings(panelId, mark);
  }

  private async layPhotograph(panelId: string, mark: string, folder: string): Promise<void> {
    const placing = await readJson<unknown>(join(folder, 'transmitted.points.json')).catch(
      () => undefined, // only the panels that have one
    );
    if (placing === undefined) return;
    const photograph = await this.send(mark, join(folder, 'transmitted.jpg'), {
      kind: 'photograph',
      light: 'transmitted',
      happened: '2026-09-29',
      author: 'Surveyor',
    });
    await this.on.surveyor.put(
      `/v1/panels/${panelId}/placements/${photograph.mediaId}`,
      `demo-placement-${mark}`,
      placing,
    );
  }

  /** A crack in the largest piece, paint lost in the next one, a torn leaf where neither is. */
  private async recordFindings(panelId: string, mark: string): Promise<void> {
    if (!mark.startsWith('2')) return;
    const { items } = await this.on.surveyor.get<{ items: Piece[] }>(
      `/v1/panels/${panelId}/pieces`,
    );
    const [first, second] = items
      .filter(({ provisional }) => !provisional)
      .sort((a, b) => b.areaMm2 - a.areaMm2);
    if (first === undefined || second === undefined) {
      throw new Error(`${mark} has ${items.length} pieces; two were expected at least`);
    }
    const findings = [
      {
        term: 'glass.crack.simple',
        inPanel: first.mark,
        geometry: { kind: 'line', xyMm: crackLine(first.ringMm) },
        face: 'inside',
        note: 'Runs through; edges clean, no step to be felt.',
      },
      {
        term: 'paint.loss',
        inPanel: second.mark,
        geometry: { kind: 'area', xyMm: lossPatch(second.ringMm) },
        face: 'inside',
        note: 'Matt and trace lines gone; the edge of the loss is stable.',
      },
    ];
    for (const [i, finding] of findings.entries()) {
      await this.on.surveyor.post(`/v1/panels/${panelId}/findings`, `demo-finding-${mark}-${i}`, {
        ...finding,
        happened: '2026-10-01',
      });
    }
  }

  private async send(mark: string, file: string, said: Record<string, string>): Promise<Media> {
    const name = `${WINDOW_MARK.toLowerCase()}-${mark.toLowerCase()}-${said['kind']}.jpg`;
    const query = new URLSearchParams({
      fileName: name,
      stage: AT_HOME,
      face: 'inside',
      subjects: `${WINDOW_MARK}.${mark}`,
      ...said,
    });
    return this.on.surveyor.send(
      `/v1/sites/${this.on.siteId}/media?${query.toString()}`,
      `demo-media-${name}`,
      new Uint8Array(await readFile(file)),
      'image/jpeg',
    );
  }
}

/** Panel as measured, and the opening to the back of its groove. */
function sizesOf([widthMm, heightMm]: readonly [number, number]) {
  return {
    panel: { widthMm, heightMm, source: 'measured' },
    tight: { widthMm: widthMm + 6, heightMm: heightMm + 6, source: 'measured' },
  };
}

async function readJson<T>(path: string): Promise<T> {
  return JSON.parse(await readFile(path, 'utf8')) as T;
}
