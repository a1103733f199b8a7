import { readFileSync } from 'node:fs';
import sharp from 'sharp';
import { boundsMm, type Net, readNet, ringCentroidMm } from '#libs/net';
import type { RunningWorker } from '../../apps/worker/src/start-worker.js';
import {
  type MediaArchive,
  RUBBING_THREAD_FROM_SOURCE,
  startMediaArchive,
} from '../support/media-archive.js';

const folder = new URL('../../fixtures/rubbings/easy/', import.meta.url);
const read = (name: string) => readFileSync(new URL(name, folder));
interface Control {
  kind: 'control_points';
  points: { name: string; mm: [number, number] }[];
}
const input = JSON.parse(read('input.json').toString()) as { images: { control: Control }[] };
const control = input.images[0]!.control;
const taps = (JSON.parse(read('clicks.json').toString()) as Record<string, [number, number][]>)[
  'rubbing.jpg'
]!;
const truth = JSON.parse(read('truth.json').toString()) as {
  pieces: { polygon: [number, number][] }[];
};

let archive: MediaArchive;
let worker: RunningWorker;
let panelId: string;
beforeAll(async () => {
  archive = await startMediaArchive();
  worker = await archive.startWorker({ rubbingThread: RUBBING_THREAD_FROM_SOURCE });
  const found = await archive.keeper.json<{ panelId: string }>('GET', '/v1/marks/SLM.wI.1a');
  panelId = found.body.panelId;
}, 90_000);
afterAll(async () => {
  await worker.close();
  await archive.close();
});

interface Job {
  state: string;
  result: { panelId: string; revision: number } | null;
  problem: { type: string; detail: string } | null;
}

async function ended(jobId: string): Promise<Job> {
  for (let tries = 0; tries < 6000; tries++) {
    const { body } = await archive.keeper.json<Job>('GET', `/v1/jobs/${jobId}`);
    if (body.state === 'done' || body.state === 'failed') return body;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  throw new Error('the job did not end in ten minutes');
}

async function attach(name: string, bytes: Uint8Array): Promise<string> {
  const response = await archive.keeper.fetch(
    `/v1/sites/${archive.siteId}/media?fileName=${name}&kind=rubbing&subjects=wI.1a`,
    { method: 'PUT', body: bytes, headers: { 'Content-Type': 'image/jpeg' } },
  );
  expect([200, 201]).toContain(response.status);
  return ((await response.json()) as { mediaId: string }).mediaId;
}

async function rubbing(face = 'inside'): Promise<string> {
  const { status, body } = await archive.keeper.json<{ rubbingId: string }>(
    'POST',
    `/v1/panels/${panelId}/rubbings`,
    {
      conditions: { paintTested: true, looseAreas: 'none', panelSupported: true },
      sheet: {
        medium: 'heelball on lining paper',
        face,
        sheets: 1,
        takenBy: 'Glazier',
        shelf: 'A1',
      },
    },
  );
  expect(status).toBe(201);
  return body.rubbingId;
}

async function extract(rubbingId: string, body: Record<string, unknown>): Promise<Job> {
  const asked = await archive.keeper.json<{ jobId: string }>(
    'POST',
    `/v1/rubbings/${rubbingId}/extractions`,
    body,
  );
  expect([asked.status, asked.body]).toEqual([202, expect.anything()]);
  return ended(asked.body.jobId);
}

async function netOf(revision: number): Promise<Net> {
  const { body } = await archive.keeper.json('GET', `/v1/panels/${panelId}/nets/${revision}`);
  return readNet(body);
}

/** A drawing as the room for drawing sends it back, nothing changed. */
function sketchOf({ joints, leads }: Net) {
  const place = new Map(joints.map(({ jointId }, i) => [jointId, i]));
  return {
    nodes: joints.map(({ xyMm }) => ({ xyMm })),
    leads: leads.map(
      ({
        fromJointId,
        toJointId,
        kind,
        lineMm,
        faceWidthMm,
        widthSpreadMm,
        confidenceP,
        doubts,
      }) => ({
        from: place.get(fromJointId)!,
        to: place.get(toJointId)!,
        kind,
        lineMm,
        faceWidthMm,
        widthSpreadMm,
        confidenceP,
        doubts,
      }),
    ),
  };
}

type Ring = readonly (readonly [number, number])[];

/** How far the middle of a piece lies from the nearest one, both drawings moved to begin at their corner. */
function farthestMiddle(wanted: readonly Ring[], found: readonly Ring[]): number {
  const middles = (rings: readonly Ring[]) => {
    const { minX, minY } = boundsMm(rings.flat());
    return rings.map(ringCentroidMm).map(([x, y]) => [x - minX, y - minY] as const);
  };
  const are = middles(found);
  return Math.max(
    ...middles(wanted).map(([x, y]) => Math.min(...are.map(([u, v]) => Math.hypot(u - x, v - y)))),
  );
}

describe('a photographed rubbing', () => {
  it('becomes the lead drawing of its panel', async () => {
    const mediaId = await attach('easy.jpg', read('rubbing.jpg'));
    const job = await extract(await rubbing(), { pictures: [{ mediaId, control, taps }] });
    expect(job).toMatchObject({ state: 'done', problem: null, result: { panelId, revision: 1 } });
    const net = await archive.keeper.json<{ pieces: unknown[]; flatten: { rmsMm: number } }>(
      'GET',
      `/v1/panels/${panelId}/nets/1`,
    );
    // the generator that drew the sheet says how many pieces there are
    expect(net.body.pieces).toHaveLength(truth.pieces.length);
    expect(net.body.flatten.rmsMm).toBeLessThan(0.5);
    const flat = await archive.keeper.fetch(`/v1/panels/${panelId}/nets/1/rectified.jpg`);
    expect([flat.status, flat.headers.get('content-type')]).toEqual([200, 'image/jpeg']);
    const panel = await archive.keeper.json<{ placements: { mediaId: string; rmsMm: number }[] }>(
      'GET',
      `/v1/panels/${panelId}`,
    );
    expect(panel.body.placements.map((placement) => placement.mediaId)).toEqual([mediaId]);
  }, 600_000);

  it('shows how it was found, also for the revision that a hand made of it', async () => {
    interface Stage {
      key: string;
      caption: string;
      widthPx: number;
      heightPx: number;
      imageFromPanel: number[];
    }
    const stages = await archive.keeper.json<{ items: Stage[] }>(
      'GET',
      `/v1/panels/${panelId}/nets/1/stages`,
    );
    expect(stages.body.items.map(({ key }) => key)).toEqual([
      'flattened',
      'wax',
      'map',
      'regions',
      'lines',
      'leads',
      'doubts',
    ]);
    for (const { key, caption, widthPx, heightPx, imageFromPanel } of stages.body.items) {
      expect(caption.length).toBeGreaterThan(20);
      expect(imageFromPanel).toHaveLength(9);
      const picture = await archive.keeper.fetch(`/v1/panels/${panelId}/nets/1/stages/${key}.jpg`);
      expect(picture.headers.get('content-type')).toBe('image/jpeg');
      const found = await sharp(Buffer.from(await picture.arrayBuffer())).metadata();
      expect([found.width, found.height]).toEqual([widthPx, heightPx]);
    }
    const edited = await archive.keeper.json<{ reading: { revision: number } | null }>(
      'POST',
      `/v1/panels/${panelId}/nets`,
      { sketch: sketchOf(await netOf(1)), note: 'looked through' },
      { 'If-Match': '"1"' },
    );
    expect(edited.body).toMatchObject({
      revision: 2,
      change: 'nothing changed',
      reading: { revision: 1 },
    });
    const flat = await archive.keeper.fetch(`/v1/panels/${panelId}/nets/2/rectified.jpg`);
    expect(flat.status).toBe(200);
    const same = await archive.keeper.json('GET', `/v1/panels/${panelId}/nets/2/stages`);
    expect(same.body).toEqual(stages.body);
  }, 600_000);

  it('read again keeps the numbers of its pieces', async () => {
    const mediaId = await attach('easy.jpg', read('rubbing.jpg'));
    const job = await extract(await rubbing(), { pictures: [{ mediaId, control, taps }] });
    expect(job).toMatchObject({ state: 'done', result: { revision: 3 } });
    const [first, again] = [await netOf(1), await netOf(3)];
    expect(again.pieces.map(({ pieceId }) => pieceId)).toEqual(
      first.pieces.map(({ pieceId }) => pieceId),
    );
    const { body } = await archive.keeper.json(
      'GET',
      `/v1/panels/${panelId}/nets/3/changes?since=1`,
    );
    expect(body['sentence']).toBe('nothing changed');
  }, 600_000);

  it('in two photographs becomes one drawing, and each is placed', async () => {
    const first = await attach('easy.jpg', read('rubbing.jpg'));
    // another photograph of the same sheet: closer by 8 px, of other quality
    const second = await attach(
      'easy-2.jpg',
      await sharp(read('rubbing.jpg'))
        .extract({ left: 8, top: 8, width: 2092, height: 2592 })
        .jpeg({ quality: 88 })
        .toBuffer(),
    );
    const nearer = taps.map(([x, y]) => [x - 8, y - 8]);
    const job = await extract(await rubbing(), {
      pictures: [
        { mediaId: first, control, taps },
        { mediaId: second, control, taps: nearer },
      ],
    });
    expect(job).toMatchObject({ state: 'done', problem: null });
    expect((await netOf(job.result!.revision)).pieces).toHaveLength(truth.pieces.length);
    const revision = await archive.keeper.json<{ items: { mediaIds: string[] }[] }>(
      'GET',
      `/v1/panels/${panelId}/nets`,
    );
    expect(revision.body.items[0]!.mediaIds).toEqual([first, second]);
    const panel = await archive.keeper.json<{
      placements: { mediaId: string; imageFromPanel: number[] }[];
    }>('GET', `/v1/panels/${panelId}`);
    const place = (mediaId: string) => {
      const m = panel.body.placements.find((one) => one.mediaId === mediaId)!.imageFromPanel;
      const [x, y] = [150, 200];
      const w = m[6]! * x + m[7]! * y + m[8]!;
      return [(m[0]! * x + m[1]! * y + m[2]!) / w, (m[3]! * x + m[4]! * y + m[5]!) / w] as const;
    };
    // the same place of the panel lies 8 px further left and up in the closer one
    const [a, b] = [place(first), place(second)];
    expect(Math.abs(a[0] - b[0] - 8)).toBeLessThan(1);
    expect(Math.abs(a[1] - b[1] - 8)).toBeLessThan(1);
  }, 600_000);

  it('of the outside is turned over into the inside’s frame', async () => {
    const { width } = await sharp(read('rubbing.jpg')).metadata();
    const mediaId = await attach(
      'outside.jpg',
      await sharp(read('rubbing.jpg')).flop().jpeg({ quality: 92 }).toBuffer(),
    );
    // seen from outside left and right change places, in the picture and on the sheet
    const turned: Control = {
      ...control,
      points: control.points.map(({ name, mm: [x, y] }) => ({ name, mm: [300 - x, y] })),
    };
    const job = await extract(await rubbing('outside'), {
      pictures: [{ mediaId, control: turned, taps: taps.map(([x, y]) => [width - 1 - x, y]) }],
    });
    expect(job).toMatchObject({ state: 'done', problem: null });
    const net = await netOf(job.result!.revision);
    expect([net.face, net.pieces.length]).toEqual(['outside', truth.pieces.length]);
    // every piece of the generator's panel lies where one of the drawing does, left on the left
    const off = farthestMiddle(
      truth.pieces.map(({ polygon }) => polygon),
      net.pieces.map(({ centreRingMm }) => centreRingMm),
    );
    expect(off).toBeLessThan(3);
  }, 600_000);

  it('that cannot be read says what to do, and no drawing is stored', async () => {
    const mediaId = await attach('easy.jpg', read('rubbing.jpg'));
    const onOneLine = taps.map(([x], i) => [x + i, 100]);
    const revision = async () =>
      (await archive.keeper.json<{ netRevision: number | null }>('GET', `/v1/panels/${panelId}`))
        .body.netRevision;
    const before = await revision();
    const job = await extract(await rubbing(), {
      pictures: [{ mediaId, control, taps: onOneLine }],
    });
    expect(job.state).toBe('failed');
    expect(job.problem?.type).toBe('/problems/extraction-failed');
    expect(job.problem).toMatchObject({ fault: expect.any(String) as string });
    expect(job.problem?.detail).toMatch(/tap|mark|line/i);
    expect(await revision()).toBe(before);
    const failed = await archive.keeper.json<{ items: unknown[] }>('GET', '/v1/jobs?state=failed');
    expect(failed.body.items).toHaveLength(1);
  }, 600_000);
});
