import sharp from 'sharp';
import type { RunningWorker } from '../../apps/worker/src/start-worker.js';
import { imageBytes, type MediaArchive, startMediaArchive } from '../support/media-archive.js';

const widthPx = 1001;
const heightPx = 701;
/** Red grows to the right, green downwards: a pixel tells where it was. */
const rgb = new Uint8Array(widthPx * heightPx * 3);
for (let y = 0; y < heightPx; y++) {
  for (let x = 0; x < widthPx; x++) {
    rgb.set([(x * 255) / widthPx, (y * 255) / heightPx, 128], (y * widthPx + x) * 3);
  }
}

let archive: MediaArchive;
let worker: RunningWorker;
let mediaId: string;
beforeAll(async () => {
  archive = await startMediaArchive();
  worker = await archive.startWorker();
  const png = await sharp(rgb, { raw: { width: widthPx, height: heightPx, channels: 3 } })
    .png()
    .toBuffer();
  mediaId = await uploaded(png, 'gradient.png');
  await untilReady(mediaId);
}, 90_000);
afterAll(async () => {
  await worker.close();
  await archive.close();
});

async function uploaded(bytes: Uint8Array, fileName: string): Promise<string> {
  const response = await archive.keeper.fetch(
    `/v1/sites/${archive.siteId}/media?fileName=${fileName}&kind=photograph`,
    { method: 'PUT', body: bytes, headers: { 'Content-Type': 'application/octet-stream' } },
  );
  expect(response.status).toBe(201);
  return ((await response.json()) as { mediaId: string }).mediaId;
}

async function pyramidOf(id: string): Promise<string> {
  const { body } = await archive.keeper.json<{ pyramid: string }>('GET', `/v1/media/${id}`);
  return body.pyramid;
}

async function untilReady(id: string): Promise<void> {
  for (let tries = 0; tries < 300; tries++) {
    if ((await pyramidOf(id)) === 'ready') return;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  throw new Error(`the pyramid is ${await pyramidOf(id)} after 30 s`);
}

/** Every 5th, and the first and last three: edges are where padding would show. */
function everyFewth(count: number): number[] {
  return Array.from({ length: count }, (_, i) => i).filter(
    (i) => i % 5 === 0 || i < 3 || i >= count - 3,
  );
}

async function pixels(request: string) {
  const response = await archive.keeper.fetch(`/iiif/3/${mediaId}/${request}`);
  expect([request, response.status]).toEqual([request, 200]);
  const bytes = Buffer.from(await response.arrayBuffer());
  const { data, info } = await sharp(bytes).raw().toBuffer({ resolveWithObject: true });
  return { data, info, response };
}

interface Information {
  id: string;
  width: number;
  height: number;
  tiles: { width: number; height?: number; scaleFactors: number[] }[];
  sizes: { width: number; height: number }[];
  maxArea: number;
}

describe('info.json', () => {
  it('holds what IIIF Image API 3.0 section 5 asks for', async () => {
    const { body, headers } = await archive.keeper.json<Information>(
      'GET',
      `/iiif/3/${mediaId}/info.json`,
    );
    expect(headers.get('content-type')).toMatch(/^application\/json/);
    expect(body).toMatchObject({
      '@context': 'http://iiif.io/api/image/3/context.json',
      id: `${archive.keeper.url}/iiif/3/${mediaId}`,
      type: 'ImageService3',
      protocol: 'http://iiif.io/api/image',
      profile: 'level2',
      width: widthPx,
      height: heightPx,
      tiles: [{ width: 256, scaleFactors: expect.arrayContaining([1, 2, 4]) as unknown }],
    });
  });

  it('comes as linked data where asked for, and the base leads to it', async () => {
    const linked = await archive.keeper.fetch(`/iiif/3/${mediaId}/info.json`, {
      headers: { Accept: 'application/ld+json' },
    });
    expect(linked.headers.get('content-type')?.replace('; ', ';')).toBe(
      'application/ld+json;profile="http://iiif.io/api/image/3/context.json"',
    );
    const base = await archive.keeper.fetch(`/iiif/3/${mediaId}`);
    expect(base.status).toBe(303);
    expect(base.headers.get('location')).toBe(`${archive.keeper.url}/iiif/3/${mediaId}/info.json`);
  });
});

describe('tiles', () => {
  it.each([1, 2, 4])(
    'of scale 1/%i put together give the whole picture',
    async (scale) => {
      const span = 256 * scale;
      let worst = 0;
      for (let y = 0; y < heightPx; y += span) {
        for (let x = 0; x < widthPx; x += span) {
          const [w, h] = [Math.min(span, widthPx - x), Math.min(span, heightPx - y)];
          const [tw, th] = [Math.ceil(w / scale), Math.ceil(h / scale)];
          const { data, info } = await pixels(`${x},${y},${w},${h}/${tw},${th}/0/default.jpg`);
          expect([info.width, info.height, info.channels]).toEqual([tw, th, 3]);
          for (const j of everyFewth(th)) {
            for (const i of everyFewth(tw)) {
              // middle of the block of source pixels that this one stands for; at the far edges the
              // block is cut short, which is worth less than a step of grey
              const u = Math.min(widthPx - 1, x + (i + 0.5) * scale - 0.5);
              const v = Math.min(heightPx - 1, y + (j + 0.5) * scale - 0.5);
              const at = (j * tw + i) * 3;
              worst = Math.max(
                worst,
                Math.abs(data[at]! - (u * 255) / widthPx),
                Math.abs(data[at + 1]! - (v * 255) / heightPx),
                Math.abs(data[at + 2]! - 128),
              );
            }
          }
        }
      }
      // 6 of 255: JPEG at quality 88
      expect(worst).toBeLessThan(6);
    },
    30_000,
  );

  it('may be kept for ever and are not sent twice', async () => {
    const { response } = await pixels('0,0,256,256/256,256/0/default.jpg');
    expect(response.headers.get('content-type')).toBe('image/jpeg');
    expect(response.headers.get('cache-control')).toContain('immutable');
    const again = await archive.keeper.fetch(
      `/iiif/3/${mediaId}/0,0,256,256/256,256/0/default.jpg`,
      { headers: { 'If-None-Match': response.headers.get('etag')! } },
    );
    expect(again.status).toBe(304);
  });
});

describe('other cuts', () => {
  it.each([
    ['full/max/0/default.jpg', 1001, 701, 'image/jpeg'],
    ['square/200,/0/default.png', 200, 200, 'image/png'],
    ['pct:10,10,50,50/!300,300/90/default.webp', 210, 300, 'image/webp'],
    ['0,0,100,100/%5E200,200/!180/color.jpg', 200, 200, 'image/jpeg'],
    ['full/100,/0/gray.jpg', 100, 70, 'image/jpeg'],
    ['full/100,/0/bitonal.png', 100, 70, 'image/png'],
  ])('%s', async (request, width, height, type) => {
    const { info, response } = await pixels(request);
    expect([info.width, info.height]).toEqual([width, height]);
    expect(response.headers.get('content-type')).toBe(type);
  });

  it('show the place that was asked for', async () => {
    const { data } = await pixels('700,500,100,100/10,10/0/default.png');
    expect(Math.abs(data[0]! - (705 * 255) / widthPx)).toBeLessThan(5);
    expect(Math.abs(data[1]! - (505 * 255) / heightPx)).toBeLessThan(5);
  });

  it.each([
    ['1001,0,10,10/max/0/default.jpg', 400, 'region'],
    ['full/2000,/0/default.jpg', 400, 'size'],
    ['full/max/45/default.jpg', 501, 'rotation'],
    ['full/max/0/native.jpg', 400, 'quality'],
    ['full/max/0/default.tif', 400, 'format'],
    ['full/max/0/default', 400, 'file'],
  ])('refuses %s', async (request, status, field) => {
    const response = await archive.keeper.fetch(`/iiif/3/${mediaId}/${request}`);
    expect([response.status, ((await response.json()) as { field: string }).field]).toEqual([
      status,
      field,
    ]);
  });
});

describe('the worker', () => {
  it.each(['orientation-6.jpg', 'quarters.heic', 'preview.dng', 'ramp-16-bit.tif', 'cmyk.jpg'])(
    'makes %s ready, upright',
    async (name) => {
      const id = await uploaded(imageBytes(name), name);
      await untilReady(id);
      const media = await archive.keeper.json<{ widthPx: number; heightPx: number }>(
        'GET',
        `/v1/media/${id}`,
      );
      const info = await archive.keeper.json<Information>('GET', `/iiif/3/${id}/info.json`);
      expect([info.body.width, info.body.height]).toEqual([
        media.body.widthPx,
        media.body.heightPx,
      ]);
    },
    40_000,
  );

  it('says that a document has no tiles', async () => {
    const response = await archive.keeper.fetch(
      `/v1/sites/${archive.siteId}/media?fileName=page.pdf&kind=document`,
      {
        method: 'PUT',
        body: imageBytes('page.pdf'),
        headers: { 'Content-Type': 'application/pdf' },
      },
    );
    const { mediaId: id } = (await response.json()) as { mediaId: string };
    const info = await archive.keeper.json<{ type: string }>('GET', `/iiif/3/${id}/info.json`);
    expect([info.status, info.body.type]).toEqual([404, '/problems/tile-unavailable']);
  });

  it('keeps pyramid and preview once, with what made them', async () => {
    const { rows } = await archive.pool.query<{ kind: string; provenance: { function: string } }>(
      `SELECT d.kind, d.provenance FROM derivative d JOIN media m ON m.digest = d.source_digest
       WHERE m.media_id = $1 ORDER BY d.kind`,
      [mediaId],
    );
    expect(rows.map((row) => [row.kind, row.provenance.function])).toEqual([
      ['preview', 'imaging.preview'],
      ['pyramid', 'imaging.pyramid'],
    ]);
    // the pictures stand before their jobs are ticked off
    const unended = `SELECT 1 FROM job_progress WHERE state IN ('waiting', 'running')`;
    for (let tries = 0; tries < 300; tries++) {
      if ((await archive.pool.query(unended)).rowCount === 0) break;
      await new Promise((resolve) => setTimeout(resolve, 100));
    }
    const jobs = await archive.pool.query<{ state: string; ratio: number }>(
      `SELECT DISTINCT state, ratio FROM job_progress WHERE queue = 'media.derive'`,
    );
    expect(jobs.rows).toEqual([{ state: 'done', ratio: 1 }]);
  });
});
