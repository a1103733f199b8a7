/** A tray of shards from upload to kept assembly, on the bundled tray (fixtures/shards, exact truth of its generator). */
import { readFileSync } from 'node:fs';
import { refillSearch } from '#libs/archive';
import { pointsOfFlat } from '#libs/net';
import type { RunningWorker } from '../../apps/worker/src/start-worker.js';
import { type ApiArchive, answer, startApiArchive } from '../support/api-archive.js';
import { imageBytes } from '../support/media-archive.js';

type Xy = [number, number];
interface Pose {
  side: 0 | 1;
  angleRad: number;
  xMm: number;
  yMm: number;
}
interface Kept {
  joiningId: string;
  version: number;
  coverageRatio: number;
  jointMm: number;
  missingMm2: number;
  joints: { a: string; b: string; lengthMm: number }[];
  missing: { ringsMm: Xy[][]; areaMm2: number }[];
  laid: { shard: string; pose: Pose; isLocked: boolean; laidBy: string }[];
  state: string;
}
interface Tray {
  outlineMm: Xy[];
  pictures: { shard: string; mediaId: string }[];
  assembly: {
    assemblyId: string;
    proposal: {
      isInOutline: boolean;
      placed: { shard: string; pose: Pose; isLocked: boolean; certainty: string }[];
      shards: { shard: string; ringMm: number[] }[];
      loose: string[];
    } | null;
  } | null;
  kept: Kept | null;
}
interface Job {
  state: string;
  problem: { type: string; detail: string; shard?: string } | null;
}

const folder = new URL('../../fixtures/shards/', import.meta.url);
const json = (name: string) => JSON.parse(readFileSync(new URL(name, folder), 'utf8')) as unknown;
const input = json('input.json') as { shards: { id: string; image: string; px_per_mm: number }[] };
const truth = json('truth.json') as {
  outline: Xy[];
  missing_area_mm2: number;
  adjacency: { a: string; b: string; shared_mm: number }[];
  shards: { id: string; px_to_mm: [Xy & number[], Xy & number[]]; centroid_px: Xy }[];
};
/** s07 of the fixture is shard 7 of piece 1. */
const markOf = (id: string) => `1s${Number(id.slice(1))}`;
/** The traced piece lies so far from the panel's corner. */
const AT: Xy = [60, 90];

let archive: ApiArchive;
let worker: RunningWorker;
let siteId: string;
let tray: string;
let pictures: { shard: string; mediaId: string; pxPerMm: number }[];

beforeAll(async () => {
  archive = await startApiArchive();
  worker = await archive.startWorker();
  const site = await archive.site('SLM');
  siteId = site.siteId;
  const panelId = site.panels['1a']!;
  tray = `/v1/panels/${panelId}/shards/1`;
  const ringMm = truth.outline.map(([x, y]) => [x + AT[0], y + AT[1]]);
  await answer(archive.keeper.post(`/v1/panels/${panelId}/pieces`, { ringMm }), 201);
  pictures = [];
  for (const { id, image, px_per_mm: pxPerMm } of input.shards) {
    const shard = markOf(id);
    const mediaId = await sent(image, readFileSync(new URL(image, folder)), `wI.1a.${shard}`);
    pictures.push({ shard, mediaId, pxPerMm });
  }
}, 120_000);
afterAll(async () => {
  await worker.close();
  await archive.close();
});

async function sent(name: string, bytes: Uint8Array, subject: string, kind = 'photograph') {
  const response = await fetch(
    `${archive.url}/v1/sites/${siteId}/media?fileName=${name}&kind=${kind}&subjects=${subject}`,
    {
      method: 'PUT',
      body: new Uint8Array(bytes),
      headers: { 'Content-Type': 'image/jpeg', Cookie: archive.cookie },
    },
  );
  const told = (await response.json()) as { mediaId: string };
  if (response.status > 299) throw new Error(JSON.stringify(told));
  return told.mediaId;
}

async function asked(body: object): Promise<{ job: Job; tray: Tray }> {
  const { jobId } = await answer<{ jobId: string }>(
    archive.keeper.post(`${tray}/assemblies`, body),
    202,
  );
  for (let tries = 0; tries < 3000; tries++) {
    const job = await answer<Job>(archive.keeper.get(`/v1/jobs/${jobId}`), 200);
    if (job.state === 'done' || job.state === 'failed') return { job, tray: await shown() };
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  throw new Error('the job did not end in five minutes');
}

const shown = () => answer<Tray>(archive.keeper.get(tray), 200);
const assemblies = async () =>
  (
    await answer<{ items: { rowId: string }[] }>(
      archive.keeper.get('/v1/search?q=shards+missing&kind=joining'),
      200,
    )
  ).items.map(({ rowId }) => rowId);
const keep = (body: object, status = 201) =>
  answer<Kept>(archive.keeper.post(`${tray}/joinings`, body), status);

/** Farthest that the middle of a shard lies from where the generator broke it out. */
function farthestOff({ placed }: { placed: { shard: string; pose: Pose }[] }): number {
  return Math.max(
    ...placed.map(({ shard, pose: { side, angleRad, xMm, yMm } }) => {
      const is = truth.shards.find(({ id }) => markOf(id) === shard)!;
      const pxPerMm = pictures.find((one) => one.shard === shard)!.pxPerMm;
      const [u, v] = is.centroid_px;
      const [x, y] = [(side === 1 ? -u : u) / pxPerMm, v / pxPerMm];
      const [cos, sin] = [Math.cos(angleRad), Math.sin(angleRad)];
      const true_ = is.px_to_mm.map((row, i) => row[0] * u + row[1] * v + row[2]! + AT[i]!);
      return Math.hypot(cos * x - sin * y + xMm - true_[0]!, sin * x + cos * y + yMm - true_[1]!);
    }),
  );
}

describe('asking', () => {
  it.each([
    ['no such piece', (): [string, object] => [tray.replace(/1$/, '99'), { pictures }], 422],
    ['a lead for a piece', () => [tray.replace(/1$/, 'L1'), { pictures }], 422],
    ['no picture at all', () => [tray, { pictures: [] }], 400],
    [
      'a picture without its scale',
      () => [tray, { pictures: [{ ...pictures[0], pxPerMm: undefined }] }],
      400,
    ],
    ['a scale of nothing', () => [tray, { pictures: [{ ...pictures[0], pxPerMm: 0 }] }], 400],
    [
      'a shard of another piece',
      () => [tray, { pictures: [{ ...pictures[0], shard: '2s1' }] }],
      422,
    ],
    [
      'a mark that is no shard',
      () => [tray, { pictures: [{ ...pictures[0], shard: '1r1' }] }],
      422,
    ],
    ['one shard twice', () => [tray, { pictures: [pictures[0], pictures[0]] }], 422],
    [
      'a picture of another shard',
      () => [tray, { pictures: [{ ...pictures[0], shard: '1s2' }] }],
      422,
    ],
    [
      'a picture that is not there',
      () => [
        tray,
        { pictures: [{ ...pictures[0], mediaId: '019a2f3c-0000-7000-8000-000000000000' }] },
      ],
      422,
    ],
    [
      'a locked shard that is not in the tray',
      () => [tray, { pictures, locked: [{ shard: '1s40', pose: still }] }],
      422,
    ],
    [
      'two places of one locked shard',
      () => [tray, { pictures, locked: [lock('1s1'), lock('1s1')] }],
      422,
    ],
    [
      'a shard that does not touch itself',
      () => [tray, { pictures, apart: [['1s1', '1s1']] }],
      422,
    ],
  ] as [string, () => [string, object], number][])(
    'is refused with %s',
    async (_what, ask, status) => {
      const [path, body] = ask();
      await answer(archive.keeper.post(`${path}/assemblies`, body), status);
    },
  );

  it('is refused with a picture that is no photograph', async () => {
    const mediaId = await sent(
      'sketch.jpg',
      imageBytes('orientation-6.jpg'),
      'wI.1a.1s13',
      'drawing',
    );
    const body = { pictures: [{ shard: '1s13', mediaId, pxPerMm: 8 }] };
    expect(await answer(archive.keeper.post(`${tray}/assemblies`, body), 422)).toMatchObject({
      type: '/problems/shard-picture-unfit',
    });
  });

  it('is for whoever may record, looking for whoever may read', async () => {
    const reader = await archive.person('reader', 'reader', siteId);
    await answer(reader.post(`${tray}/assemblies`, { pictures }), 403);
    await answer(reader.get(tray), 200);
    const stranger = await archive.person('stranger', null);
    await answer(stranger.get(tray), 404);
  });

  it('with a picture without glass ends with a sentence that names the shard', async () => {
    const mediaId = await sent('empty.jpg', imageBytes('orientation-1.jpg'), 'wI.1a.1s14');
    const { job } = await asked({ pictures: [{ shard: '1s14', mediaId, pxPerMm: 8 }] });
    expect(job).toMatchObject({
      state: 'failed',
      problem: { type: '/problems/shards-unreadable', shard: '1s14' },
    });
    expect(job.problem!.detail).toMatch(/1s14|light box|photograph/i);
  }, 120_000);
});

const still: Pose = { side: 0, angleRad: 0, xMm: 60, yMm: 90 };
const lock = (shard: string) => ({ shard, pose: still });

describe('a tray of twelve', () => {
  let proposed: NonNullable<Tray['assembly']>;

  it('lies as the generator broke it, in the outline of its piece', async () => {
    const before = await shown();
    expect(before.pictures.map(({ shard }) => shard).slice(0, 12)).toEqual(
      pictures.map(({ shard }) => shard),
    );
    await keepRefusedBefore(before);
    const { job, tray: after } = await asked({ pictures });
    expect(job).toMatchObject({ state: 'done', problem: null });
    proposed = after.assembly!;
    const { proposal } = proposed;
    expect(proposal).toMatchObject({ isInOutline: true, loose: [] });
    expect(proposal!.placed).toHaveLength(12);
    // a joint stays open by what its edges lost, so places may be off by a few tenths over a piece
    expect(farthestOff(proposal!)).toBeLessThan(1);
  }, 300_000);

  it('is kept with joints, coverage and missing glass reckoned', async () => {
    const { assemblyId, proposal } = proposed;
    const laid = proposal!.placed.map(({ shard, pose }) => ({ shard, pose, laidBy: 'proposal' }));
    await answer(
      archive.keeper.post(`${tray}/joinings`, { assemblyId, laid: [laid[0], laid[0]] }),
      422,
    );
    await keep({ assemblyId, laid: [{ ...laid[0], shard: '1s40' }] }, 422);
    await keep({ assemblyId, laid, apart: [['1s1', '1s40']] }, 422);
    await keep({ assemblyId, laid, happened: 'lately' }, 422);
    const far = { ...laid[0]!, pose: { ...laid[0]!.pose, xMm: 5000 } };
    await keep({ assemblyId, laid: [far] }, 422);
    await keep({ assemblyId: '019a2f3c-0000-7000-8000-000000000000', laid }, 404);
    const kept = await keep({ assemblyId, laid, happened: '2026-05-04' });
    const area = 19548.37; // of the generator's outline, by the shoelace formula
    expect(kept.missingMm2 / truth.missing_area_mm2).toBeCloseTo(1, 1);
    expect(kept.coverageRatio).toBeCloseTo(1 - truth.missing_area_mm2 / area, 2);
    const key = (a: string, b: string) => [a, b].sort().join(' ');
    const lengths = new Map(kept.joints.map(({ a, b, lengthMm }) => [key(a, b), lengthMm]));
    for (const { a, b, shared_mm: sharedMm } of truth.adjacency.filter((j) => j.shared_mm >= 10)) {
      const found = lengths.get(key(markOf(a), markOf(b)))!;
      expect(Math.abs(found - sharedMm)).toBeLessThan(2.5);
    }
    expect((await shown()).kept).toMatchObject({ joiningId: kept.joiningId, state: 'recorded' });
    expect(await assemblies()).toEqual([kept.joiningId]);
  }, 60_000);

  it('a search row that an archive from before does not have is made as it would have been written', async () => {
    const rowOf = async () =>
      (await archive.pool.query<object>("SELECT * FROM search_row WHERE kind = 'joining'")).rows;
    const [written] = await rowOf();
    expect(written).toBeDefined();
    await archive.pool.query("DELETE FROM search_row WHERE kind = 'joining'");
    expect(await refillSearch(archive.pool)).toBe(1);
    expect(await rowOf()).toEqual([written]);
    expect(await refillSearch(archive.pool)).toBe(0);
  });

  it('gives what is missing as a shape of its size, in SVG and DXF', async () => {
    const { joiningId } = (await shown()).kept!;
    const path = `/v1/joinings/${joiningId}/missing`;
    const svg = await archive.keeper.get(`${path}.svg`);
    expect([svg.status, svg.headers['content-type']]).toEqual([200, 'image/svg+xml']);
    const text = Buffer.from(svg.body as Uint8Array).toString();
    const [, width, height] = /width="([\d.]+)mm" height="([\d.]+)mm" viewBox="0 0 \1 \2"/.exec(
      text,
    )!;
    const ring = /d="M([^Z]+)Z/.exec(text)![1]!;
    const points = pointsOfFlat(ring.split(/[ L]/).map(Number));
    const twice = points.reduce((sum, [x, y], i) => {
      const [u, v] = points[(i + 1) % points.length]!;
      return sum + x * v - u * y;
    }, 0);
    expect(Math.abs(twice / 2) / truth.missing_area_mm2).toBeCloseTo(1, 1);
    expect(Math.max(...points.map(([x]) => x))).toBeLessThan(Number(width));
    expect(Math.max(...points.map(([, y]) => y))).toBeLessThan(Number(height));
    const dxf = await archive.keeper.get(`${path}.dxf?mirrored=true`);
    expect([dxf.status, dxf.headers['content-type']]).toEqual([200, 'image/vnd.dxf']);
    await answer(archive.keeper.get(`${path}.pdf`), 400);
  });

  it('asked again keeps what a person locked and said is apart', async () => {
    const { placed } = proposed.proposal!;
    const locked = placed.filter(({ shard }) => ['1s5', '1s12'].includes(shard));
    const { tray: after } = await asked({
      pictures,
      locked: locked.map(({ shard, pose }) => ({ shard, pose })),
      apart: [['1s5', '1s6']],
    });
    const again = after.assembly!.proposal!.placed;
    for (const { shard, pose } of locked) {
      const is = again.find((one) => one.shard === shard)!;
      expect(is.isLocked).toBe(true);
      expect(is.pose.xMm).toBeCloseTo(pose.xMm, 2);
      expect(is.pose.yMm).toBeCloseTo(pose.yMm, 2);
    }
  }, 300_000);

  it('kept anew takes the place of what was kept, and is taken back with a reason', async () => {
    const first = (await shown()).kept!;
    const { assemblyId } = proposed;
    const laid = first.laid.slice(0, 3).map((one) => ({ ...one, isLocked: true, laidBy: 'hand' }));
    const kept = await keep({ assemblyId, laid, note: 'the rest is at the painter’s' });
    expect(kept.coverageRatio).toBeLessThan(first.coverageRatio);
    expect((await shown()).kept!.joiningId).toBe(kept.joiningId);
    const withdraw = (id: string) => `/v1/joinings/${id}/withdraw`;
    const reason = { reason: 'laid on the wrong sheet' };
    await answer(archive.keeper.post(withdraw(first.joiningId), reason), 409);
    await answer(
      archive.keeper.post(withdraw('019a2f3c-0000-7000-8000-000000000000'), reason),
      404,
    );
    expect(await answer(archive.keeper.post(withdraw(kept.joiningId), reason), 200)).toMatchObject({
      state: 'withdrawn',
    });
    expect(await assemblies()).toEqual([]);
    await answer(archive.keeper.post(withdraw(kept.joiningId), reason), 409);
    expect((await shown()).kept).toBeNull();
  });
});

/** There are contours only when the worker has found them. */
async function keepRefusedBefore({ assembly }: Tray): Promise<void> {
  // the one of the picture without glass failed and never will have any
  const { assemblyId } = assembly!;
  const laid = [{ shard: '1s14', pose: still }];
  await answer(archive.keeper.post(`${tray}/joinings`, { assemblyId, laid }), 409);
}
