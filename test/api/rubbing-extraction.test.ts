import { readFileSync } from 'node:fs';
import type { RunningWorker } from '../../apps/worker/src/start-worker.js';
import {
  type MediaArchive,
  RUBBING_THREAD_FROM_SOURCE,
  startMediaArchive,
} from '../support/media-archive.js';

const folder = new URL('../../fixtures/rubbings/easy/', import.meta.url);
const read = (name: string) => readFileSync(new URL(name, folder));
const input = JSON.parse(read('input.json').toString()) as {
  images: { control: Record<string, unknown> }[];
};
const taps = (JSON.parse(read('clicks.json').toString()) as Record<string, [number, number][]>)[
  'rubbing.jpg'
]!;
const truth = JSON.parse(read('truth.json').toString()) as { pieces: unknown[] };

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
  for (let tries = 0; tries < 1200; tries++) {
    const { body } = await archive.keeper.json<Job>('GET', `/v1/jobs/${jobId}`);
    if (body.state === 'done' || body.state === 'failed') return body;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  throw new Error('the job did not end in two minutes');
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

describe('a photographed rubbing', () => {
  it('becomes the lead drawing of its panel', async () => {
    const mediaId = await attach('easy.jpg', read('rubbing.jpg'));
    const control = input.images[0]!.control;
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
  }, 180_000);

  it('that cannot be read says what to do, and no drawing is stored', async () => {
    const mediaId = await attach('easy.jpg', read('rubbing.jpg'));
    const control = input.images[0]!.control;
    const onOneLine = taps.map(([x], i) => [x + i, 100]);
    const job = await extract(await rubbing(), {
      pictures: [{ mediaId, control, taps: onOneLine }],
    });
    expect(job.state).toBe('failed');
    expect(job.problem?.type).toBe('/problems/extraction-failed');
    expect(job.problem?.detail).toMatch(/tap|mark|line/i);
    const panel = await archive.keeper.json<{ netRevision: number }>(
      'GET',
      `/v1/panels/${panelId}`,
    );
    expect(panel.body.netRevision).toBe(1);
    const failed = await archive.keeper.json<{ items: unknown[] }>('GET', '/v1/jobs?state=failed');
    expect(failed.body.items).toHaveLength(1);
  }, 180_000);
});
