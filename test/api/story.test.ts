import { readFileSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { rebuildProjections } from '#libs/archive';
import { type Net, readNet, ringAreaMm2 } from '#libs/net';
import { openObjectStore } from '#libs/objects';
import type { RunningWorker } from '../../apps/worker/src/start-worker.js';
import { type ApiArchive, answer, startApiArchive } from '../support/api-archive.js';
import { imageBytes } from '../support/media-archive.js';
import { projectionDump } from '../support/projection-dump.js';
import { followed, writtenDossier } from '../support/written-dossier.js';

/** A generated rubbing with its truth; fixtures/README.md says where it comes from. */
const CASE = new URL('../../fixtures/rubbings/easy/', import.meta.url);
const readCase = (name: string): unknown => JSON.parse(readFileSync(new URL(name, CASE), 'utf8'));

/** A picture whose EXIF holds a place and a serial number; fixtures/README.md. */
const withPlace = imageBytes('with-place.jpg');
const PLACE = 'Heronbank 7, on the tidal river';

let archive: ApiArchive;
let worker: RunningWorker;
let site: Awaited<ReturnType<ApiArchive['site']>>;
let folder: string;

beforeAll(async () => {
  archive = await startApiArchive();
  worker = await archive.startWorker();
  site = await archive.site('SLM');
  folder = await mkdtemp(join(tmpdir(), 'story-'));
}, 90_000);
afterAll(async () => {
  await worker.close();
  await archive.close();
  await rm(folder, { recursive: true, force: true });
});

const panel = () => `/v1/panels/${site.panels['2b']!}`;

describe('from a photographed rubbing to a dossier that verifies', () => {
  let mediaId: string;
  let net: Net;

  it('takes the photograph of the rubbing', async () => {
    const { cookie } = archive;
    const response = await fetch(
      `${archive.url}/v1/sites/${site.siteId}/media?fileName=rubbing.jpg&kind=rubbing&stage=before&subjects=wI.2b`,
      {
        method: 'PUT',
        headers: { Cookie: cookie, 'Content-Type': 'image/jpeg' },
        body: readFileSync(new URL('rubbing.jpg', CASE)),
      },
    );
    expect(response.status).toBe(201);
    ({ mediaId } = (await response.json()) as { mediaId: string });
  });

  it('records the rubbing and reads its lead drawing', async () => {
    const { images } = readCase('input.json') as {
      images: { control: { kind: string; points: { name: string; mm: number[] }[] } }[];
    };
    const clicks = readCase('clicks.json') as Record<string, [number, number][]>;
    const { rubbingId } = await answer<{ rubbingId: string }>(
      archive.keeper.post(`${panel()}/rubbings`, {
        conditions: { paintTested: true, looseAreas: 'covered', panelSupported: true },
        sheet: {
          medium: 'heelball on lining paper',
          face: 'inside',
          takenBy: 'Glazier',
          shelf: 'plan chest 3',
        },
        happened: '2026-11-20',
      }),
      201,
    );
    const { jobId } = await answer<{ jobId: string }>(
      archive.keeper.post(`/v1/rubbings/${rubbingId}/extractions`, {
        pictures: [{ mediaId, control: images[0]!.control, taps: clicks['rubbing.jpg'] }],
      }),
      202,
    );
    const { events, result } = await followed(archive, jobId);
    expect(events.filter((event) => event === 'progress').length).toBeGreaterThan(1);
    expect(result).toEqual({ panelId: site.panels['2b'], revision: 1 });
    net = readNet(await answer(archive.keeper.get(`${panel()}/nets/1`), 200));
  }, 180_000);

  it('finds the pieces that the sheet was made from', () => {
    const truth = readCase('truth.json') as { pieces: { polygon: [number, number][] }[] };
    expect(net.pieces).toHaveLength(truth.pieces.length);
    const areas = (rings: readonly (readonly (readonly [number, number])[])[]) =>
      rings.map((ring) => Math.abs(ringAreaMm2(ring))).sort((a, b) => a - b);
    const found = areas(net.pieces.map((piece) => piece.centreRingMm));
    areas(truth.pieces.map((piece) => piece.polygon)).forEach((areaMm2, i) => {
      // 10 % or 60 mm²: what a face width of wax leaves open for a small piece
      expect(Math.abs(found[i]! - areaMm2)).toBeLessThan(Math.max(0.1 * areaMm2, 60));
    });
  });

  it('gives the files for the bench', async () => {
    const types = {
      'net.svg': /svg/,
      'net.dxf': /dxf/,
      'net.pdf': /pdf/,
      'schedule.csv': /csv/,
      'rectified.jpg': /jpeg/,
    };
    for (const [file, type] of Object.entries(types)) {
      const { headers } = await archive.keeper.get(`${panel()}/nets/1/${file}`).expect(200);
      expect(headers['content-type']).toMatch(type);
      expect(headers['content-disposition']).toContain(`slm.w1.2b-r1-${file}`);
    }
  });

  it('signs it: the pieces have their numbers', async () => {
    await archive.keeper.post(`${panel()}/nets/1/sign`).expect(200);
    const { items } = await answer<{ items: { mark: string; provisional: boolean }[] }>(
      archive.keeper.get(`${panel()}/pieces`),
      200,
    );
    expect(items.map((piece) => piece.mark)).toEqual(net.pieces.map((piece) => piece.pieceId));
    await archive.keeper.post(`${panel()}/nets/1/sign`).expect(409);
  });

  it('lays the photograph under it and takes a finding drawn on the photograph', async () => {
    // The rubbing's own marks lay its picture too: taps in px, marks in mm.
    const { images } = readCase('input.json') as {
      images: { control: { points: { mm: [number, number] }[] } }[];
    };
    const clicks = (readCase('clicks.json') as Record<string, [number, number][]>)['rubbing.jpg']!;
    const points = images[0]!.control.points.map(({ mm }, i) => ({
      imageXyPx: clicks[i]!,
      panelXyMm: mm,
    }));
    const placed = await answer<{ rmsMm: number; imageFromPanel: number[] }>(
      archive.keeper.put(`${panel()}/placements/${mediaId}`, { points }),
      200,
    );
    expect(placed.rmsMm).toBeLessThan(0.01); // four points: the fit passes through them
    const [first] = points;
    const finding = await answer<{ geometry: { xyMm: [number, number][] } }>(
      archive.keeper.post(`${panel()}/findings`, {
        term: 'glass.crack.simple',
        geometry: { kind: 'line', mediaId, xyPx: [first!.imageXyPx, points[2]!.imageXyPx] },
        face: 'inside',
      }),
      201,
    );
    const [x, y] = finding.geometry.xyMm[0]!;
    expect(Math.hypot(x - first!.panelXyMm[0], y - first!.panelXyMm[1])).toBeLessThan(0.01);
  });

  it('marks a crack and a paint loss on the piece that they are on', async () => {
    const piece = net.pieces.reduce((a, b) => (b.labelRadiusMm > a.labelRadiusMm ? b : a));
    const [x, y] = piece.labelMm;
    const half = piece.labelRadiusMm / 2;
    const crack = await answer<Record<string, unknown>>(
      archive.keeper.post(`${panel()}/findings`, {
        term: 'glass.crack.simple',
        geometry: {
          kind: 'line',
          xyMm: [
            [x - half, y],
            [x + half, y],
          ],
        },
        face: 'inside',
        evidence: [mediaId],
        happened: '2026-11-21',
        note: 'runs on under the paint',
      }),
      201,
    );
    expect(crack).toMatchObject({ inPanel: piece.pieceId, netRevision: 1 });
    expect((crack['measure'] as { lengthMm: number }).lengthMm).toBeCloseTo(2 * half, 1);
    const loss = await answer<Record<string, unknown>>(
      archive.keeper.post(`${panel()}/findings`, {
        term: 'paint.loss',
        geometry: {
          kind: 'area',
          xyMm: [
            [x - half, y - half],
            [x + half, y - half],
            [x + half, y + half],
            [x - half, y + half],
          ],
        },
        face: 'inside',
      }),
      201,
    );
    const measure = loss['measure'] as { areaMm2: number; shareRatio: number };
    expect(measure.areaMm2).toBeCloseTo(4 * half * half, 0);
    expect(measure.shareRatio).toBeGreaterThan(0);
    expect(measure.shareRatio).toBeLessThan(1);
  });

  it('gives the condition record as page, PDF and JSON', async () => {
    const at = (format: string) =>
      archive.keeper.get(`/v1/records/condition?subject=SLM.wI.2b&format=${format}`).expect(200);
    const record = (await at('json')).text;
    expect(JSON.parse(record)).toMatchObject({
      kind: 'condition',
      subject: { mark: 'SLM.wI.2b' },
      observations: [{ number: 1 }, { number: 2 }, { number: 3 }],
    });
    expect((await at('html')).text).toContain('runs on under the paint');
    const pdf = await fetch(`${archive.url}/v1/records/condition?subject=SLM.wI.2b&format=pdf`, {
      headers: { Cookie: archive.cookie },
    });
    expect(
      Buffer.from(await pdf.arrayBuffer())
        .subarray(0, 5)
        .toString(),
    ).toBe('%PDF-');
  });

  it('is told where the building stands, and gets a picture that knows it too', async () => {
    const read = await archive.keeper.get(`/v1/sites/${site.siteId}`).expect(200);
    await archive.keeper
      .put(
        `/v1/sites/${site.siteId}`,
        { name: 'Sallowmere Chapel', place: PLACE },
        { 'If-Match': read.headers['etag']! },
      )
      .expect(200);
    const response = await fetch(
      `${archive.url}/v1/sites/${site.siteId}/media?fileName=west.jpg&kind=photograph&subjects=wI.2b`,
      {
        method: 'PUT',
        headers: { Cookie: archive.cookie, 'Content-Type': 'image/jpeg' },
        body: new Uint8Array(withPlace),
      },
    );
    expect(response.status).toBe(201);
  });

  it.each(['handed-out', 'keepers'])(
    'writes the %s dossier, which verifies by itself',
    async (kind) => {
      const zip = await writtenDossier(archive, site.siteId, { subject: 'wI.2b', kind }, folder);
      expect(zip.includes('/pictures/')).toBe(true);
      for (const secret of [Buffer.from(PLACE), withPlace]) {
        expect(zip.includes(secret)).toBe(kind === 'keepers');
      }
    },
    120_000,
  );

  it('comes out the same when every row is made anew from the ledger', async () => {
    const before = await projectionDump(archive.pool);
    for (const table of ['media', 'placement', 'net_revision', 'piece', 'finding', 'dossier']) {
      expect([table, before[table]!.length > 0]).toEqual([table, true]);
    }
    await archive.pool.query(`UPDATE media SET note = 'somebody was here'`);
    await archive.pool.query('DELETE FROM placement');
    await rebuildProjections(archive.pool, await openObjectStore(archive.config.objects));
    expect(await projectionDump(archive.pool)).toEqual(before);
  });

  it('shows the keeper’s dossier to keepers only', async () => {
    const reader = await archive.person('reader', 'reader', site.siteId);
    const path = `/v1/sites/${site.siteId}/dossiers`;
    const seen = await answer<{ items: { kind: string }[] }>(reader.get(path), 200);
    expect(seen.items.map((dossier) => dossier.kind)).toEqual(['handed-out']);
    const all = await answer<{ items: { kind: string; dossierId: string }[] }>(
      archive.keeper.get(path),
      200,
    );
    const keepers = all.items.find((dossier) => dossier.kind === 'keepers')!;
    await reader.get(`/v1/dossiers/${keepers.dossierId}/file`).expect(404);
    await reader.post(path, { subject: 'wI', kind: 'keepers' }).expect(403);
  });
});
