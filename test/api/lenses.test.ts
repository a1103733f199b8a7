/** A photograph of the target sheet to a lens that later pictures of the same camera are read with. */
import sharp from 'sharp';
import { findRow, type MediaRow, rebuildProjections, Tx } from '#libs/archive';
import { openObjectStore } from '#libs/objects';
import { targetLayout } from '#libs/rubbing';
import { knownLens } from '../../apps/worker/src/known-lens.js';
import type { RunningWorker } from '../../apps/worker/src/start-worker.js';
import { targetPicture } from '../../libs/rubbing/src/target-picture.fixture.js';
import { type MediaArchive, startMediaArchive } from '../support/media-archive.js';
import { projectionDump } from '../support/projection-dump.js';

const K1 = 0.03;

let archive: MediaArchive;
let worker: RunningWorker;
beforeAll(async () => {
  archive = await startMediaArchive();
  worker = await archive.startWorker();
}, 180_000);
afterAll(async () => {
  await worker.close();
  await archive.close();
});

/** The uncut A4 sheet in the middle of the frame, through a lens of known bend. */
function photograph(sheetPxPerMm: number): Promise<Buffer> {
  const s = sheetPxPerMm;
  const { widthPx, heightPx, rgb } = targetPicture({
    widthPx: 1240,
    heightPx: 930,
    imageFromPlane: [s, 0.01, 620 - 148 * s, -0.01, s * 0.99, 465 - 98 * s, 3e-5, -5e-5, 1],
    k1: K1,
    strips: targetLayout('A4').strips.map((strip, index) => ({
      paper: 'A4',
      index,
      xMm: strip.leftMm,
      yMm: strip.topMm,
      turn: 0,
    })),
    paperMm: [0, 0, 297, 210],
  });
  return sharp(Buffer.from(rgb), { raw: { width: widthPx, height: heightPx, channels: 3 } })
    .withExif({ IFD0: { Make: 'Anon', Model: 'Pocket 3' }, IFD2: { FocalLength: '42/10' } })
    .jpeg({ quality: 95 })
    .toBuffer();
}

async function attach(name: string, bytes: Buffer): Promise<string> {
  const response = await archive.keeper.fetch(
    `/v1/sites/${archive.siteId}/media?fileName=${name}&kind=photograph`,
    { method: 'PUT', body: bytes, headers: { 'Content-Type': 'image/jpeg' } },
  );
  expect(response.status).toBe(201);
  return ((await response.json()) as { mediaId: string }).mediaId;
}

interface Job {
  state: string;
  problem: { type: string; detail: string; fault: string } | null;
}

async function calibrated(mediaId: string): Promise<Job> {
  const asked = await archive.keeper.json<{ jobId: string }>('POST', '/v1/lens-calibrations', {
    mediaId,
  });
  expect(asked.status).toBe(202);
  for (let tries = 0; tries < 3000; tries++) {
    const { body } = await archive.keeper.json<Job>('GET', `/v1/jobs/${asked.body.jobId}`);
    if (body.state === 'done' || body.state === 'failed') return body;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  throw new Error('the job did not end in five minutes');
}

interface Calibration {
  camera: string;
  focalLengthMm: number;
  k1: number;
  k2: number;
  sigmaK1: number;
  tags: number;
}

const listed = async () =>
  (await archive.keeper.json<{ items: Calibration[] }>('GET', '/v1/lens-calibrations')).body.items;

describe('a lens', () => {
  it('is found from a photograph of the target sheet, and kept by camera and focal length', async () => {
    const mediaId = await attach('sheet.jpg', await photograph(4.2));
    expect(await calibrated(mediaId)).toMatchObject({ state: 'done', problem: null });
    const [lens, ...others] = await listed();
    expect(others).toEqual([]);
    expect(lens).toMatchObject({ camera: 'Anon Pocket 3', focalLengthMm: 4.2, mediaId });
    // the lens that drew the picture, seven tenths of the way to the corner; k1 and k2 share the work
    const q = 0.49;
    expect(Math.abs(lens!.k1 * q + lens!.k2 * q * q - K1 * q)).toBeLessThan(0.001);
  }, 600_000);

  it('is known for later pictures of that camera, at that focal length and of that shape', async () => {
    const reads = new Tx(archive.pool);
    const media = (await findRow(reads, 'media', { fileName: 'sheet.jpg' }))!;
    const lens = await knownLens(reads, media);
    expect(lens?.source).toMatch(/^calibration of Anon Pocket 3 at 4\.2 mm, \d{4}-\d\d-\d\d$/);
    expect(lens?.k1).toBe((await listed())[0]!.k1);
    const turned: MediaRow = { ...media, widthPx: 930, heightPx: 1240 };
    expect(await knownLens(reads, turned)).toEqual(lens);
    const wide: MediaRow = { ...media, widthPx: 1600, heightPx: 900 };
    expect(await knownLens(reads, wide)).toBeNull();
    const exif = media.exif as { open: Record<string, unknown> };
    const zoomed: MediaRow = { ...media, exif: { open: { ...exif.open, FocalLength: 6 } } };
    expect(await knownLens(reads, zoomed)).toBeNull();
    const scan: MediaRow = { ...media, exif: null };
    expect(await knownLens(reads, scan)).toBeNull();
  }, 60_000);

  it('comes out the same when the rows are made anew from the ledger', async () => {
    const before = await projectionDump(archive.pool);
    expect(before['lens_calibration']).toHaveLength(1);
    await rebuildProjections(archive.pool, await openObjectStore(archive.config.objects));
    expect(await projectionDump(archive.pool)).toEqual(before);
  });

  it('of a picture without the sheet is refused with what to do; nothing is kept', async () => {
    const small = await attach('far.jpg', await photograph(1.2));
    const job = await calibrated(small);
    expect(job).toMatchObject({ state: 'failed', problem: { type: '/problems/lens-unreadable' } });
    expect(job.problem!.detail).toMatch(/photograph|come nearer/);
    expect(typeof job.problem!.fault).toBe('string');
    expect(await listed()).toHaveLength(1);
  }, 600_000);

  it('is not asked of a picture that does not name its camera', async () => {
    const bare = await sharp({
      create: { width: 300, height: 200, channels: 3, background: '#888' },
    })
      .jpeg()
      .toBuffer();
    const mediaId = await attach('bare.jpg', bare);
    const asked = await archive.keeper.json('POST', '/v1/lens-calibrations', { mediaId });
    expect([asked.status, asked.body]).toMatchObject([422, { type: '/problems/camera-unknown' }]);
    const none = await archive.keeper.json('POST', '/v1/lens-calibrations', {
      mediaId: '018f3a5e-7b1c-7c3d-8e4f-000000000000',
    });
    expect(none.status).toBe(404);
  });
});

describe('the target sheet', () => {
  it.each(['A4', 'A3', 'Letter'])('is there on %s', async (paper) => {
    const response = await archive.keeper.fetch(`/v1/target-sheets/${paper}.pdf`);
    expect([response.status, response.headers.get('content-type')]).toEqual([
      200,
      'application/pdf',
    ]);
    const bytes = Buffer.from(await response.arrayBuffer());
    expect(bytes.subarray(0, 5).toString()).toBe('%PDF-');
  });

  it('is not there on another paper, nor for strangers', async () => {
    expect((await archive.keeper.fetch('/v1/target-sheets/A5.pdf')).status).toBe(400);
    const { url } = archive.keeper;
    expect((await fetch(`${url}/v1/target-sheets/A4.pdf`)).status).toBe(401);
  });
});
