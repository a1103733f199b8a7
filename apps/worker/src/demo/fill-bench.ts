/** What is said at the bench beside rubbings: tests, readings of a bulge, a panel half taken apart, a tray of shards. */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { leadRows } from '#libs/custody';
import type { Net } from '#libs/net';
import { type DemoClient, jobDone } from './demo-client.js';
import { BACKGROUNDS, GAUGED, OTHER_SURVEYS, TESTS, TRAY } from './sallowmere-bench.js';

/** What is known of the chapel and its windows, and how the small windows stand. */
export async function describeChapel(
  surveyor: DemoClient,
  siteId: string,
  windowIds: ReadonlyMap<string, string>,
): Promise<void> {
  for (const background of BACKGROUNDS)
    await surveyor.put(
      `/v1/sites/${siteId}/backgrounds`,
      `demo-background-${background.mark}`,
      background,
    );
  for (const { window, panels: classOf, ...said } of OTHER_SURVEYS) {
    const windowId = windowIds.get(window)!;
    const { panels } = await surveyor.get<{ panels: { panelId: string; mark: string }[] }>(
      `/v1/windows/${windowId}`,
    );
    await surveyor.post(`/v1/windows/${windowId}/surveys`, `demo-survey-${window}`, {
      ...said,
      panels: panels.map(({ panelId, mark }) => ({ panelId, ...classOf(mark) })),
    });
  }
}

/** Tests before the proposal, with the picture of the panel where there is one. */
export async function recordTests(
  surveyor: DemoClient,
  siteId: string,
  panelId: string,
): Promise<void> {
  const { media } = await surveyor.get<{ media: { mediaId: string; kind: string }[] }>(
    `/v1/panels/${panelId}`,
  );
  const images = media
    .filter(({ kind }) => kind === 'photograph')
    .map(({ mediaId }) => mediaId)
    .slice(0, 1);
  for (const { key, ...test } of TESTS)
    await surveyor.post(`/v1/sites/${siteId}/tests`, `demo-test-${key}`, { ...test, images });
}

/** The same panel read on two days, on one grid: it came out further. */
export async function recordBulges(surveyor: DemoClient, panelId: string): Promise<void> {
  const shares = [0, 0.2, 0.4, 0.6, 0.8, 1];
  for (const [happened, riseMm] of [
    ['2019-05-14', 9],
    ['2026-03-12', 17],
  ] as const) {
    const readings = shares.flatMap((y) =>
      shares.map((x) => [
        10 + Math.round(x * 730),
        10 + Math.round(y * 410),
        Math.round(riseMm * Math.sin(Math.PI * x) * Math.sin(Math.PI * y ** 1.2) * 2) / 2,
      ]),
    );
    await surveyor.post(`/v1/panels/${panelId}/deflections`, `demo-bulge-${happened}`, {
      datum: 'string-line',
      face: 'inside',
      sense: 'out',
      noiseMm: 1,
      happened,
      readings,
    });
  }
}

/** A panel that is being taken apart: some pieces lie on the rubbing, cut ends are gauged. */
export async function takeApart(glazier: DemoClient, panelId: string): Promise<void> {
  const { signedRevision } = await glazier.get<{ signedRevision: number }>(`/v1/panels/${panelId}`);
  const net = await glazier.get<Net>(`/v1/panels/${panelId}/nets/${signedRevision}/net.json`);
  const pieces = net.pieces.slice(0, Math.ceil(net.pieces.length * 0.6));
  await glazier.post(`/v1/panels/${panelId}/lifts`, 'demo-lifts', {
    pieces: pieces.map(({ pieceId }, i) =>
      i === 3
        ? { mark: pieceId, is: 'broken', note: 'along the old crack' }
        : i === 5
          ? { mark: pieceId, is: 'with', with: pieces[4]!.pieceId }
          : { mark: pieceId, is: 'lifted' },
    ),
    happened: '2026-11-03',
  });
  const gauges = leadRows(net)
    .filter(({ kind }) => kind === 'came' || kind === 'outer')
    .slice(0, 3)
    .map(({ kind, widthClassMm }) => ({
      widthClassMm,
      kind,
      profile: {
        ...GAUGED,
        name: `old came, ${widthClassMm} mm rubbed`,
        shape: kind === 'outer' ? 'U' : 'H',
        faceMm: widthClassMm + 0.3,
      },
    }));
  await glazier.post(`/v1/panels/${panelId}/dismantling`, 'demo-apart', {
    allPieces: false,
    putty: { state: 'soaked', tested: 'free-of-asbestos', with: 'linseed oil', hours: 36 },
    cameSample: { kept: true, name: 'C1', leadId: net.leads[0]!.leadId },
    gauges,
    happened: '2026-11-03',
  });
}

interface Tray {
  assembly: {
    assemblyId: string;
    proposal: { placed: { shard: string; pose: unknown }[] } | null;
  } | null;
}

/** The piece that broke on the way: twelve shards on a light box, and how they lie together. */
export async function layShards(
  glazier: DemoClient,
  siteId: string,
  panelId: string,
  folder: string,
): Promise<void> {
  const json = async (name: string) =>
    JSON.parse(await readFile(join(folder, name), 'utf8')) as unknown;
  const { outline } = (await json('truth.json')) as { outline: [number, number][] };
  const { shards } = (await json('input.json')) as {
    shards: { id: string; image: string; px_per_mm: number }[];
  };
  const { mark: piece } = await glazier.post<{ mark: string }>(
    `/v1/panels/${panelId}/pieces`,
    'demo-shards-piece',
    { ringMm: outline.map(([x, y]) => [x + TRAY.atMm[0], y + TRAY.atMm[1]]) },
  );
  const number = piece.split('.').at(-1)!;
  const pictures: object[] = [];
  for (const { id, image, px_per_mm: pxPerMm } of shards) {
    const shard = `${number}s${Number(id.slice(1))}`;
    const query = new URLSearchParams({
      fileName: `wi-${TRAY.panel}-${shard}.jpg`,
      kind: 'photograph',
      light: 'transmitted',
      stage: 'before',
      subjects: `wI.${TRAY.panel}.${shard}`,
      happened: TRAY.happened,
    });
    const { mediaId } = await glazier.send<{ mediaId: string }>(
      `/v1/sites/${siteId}/media?${query.toString()}`,
      `demo-shard-${id}`,
      new Uint8Array(await readFile(join(folder, image))),
      'image/jpeg',
    );
    pictures.push({ shard, mediaId, pxPerMm });
  }
  const tray = `/v1/panels/${panelId}/shards/${number}`;
  const { jobId } = await glazier.post<{ jobId: string }>(
    `${tray}/assemblies`,
    'demo-shards-asked',
    { pictures },
  );
  await jobDone(glazier, jobId, () => Promise.resolve());
  const { assembly } = await glazier.get<Tray>(tray);
  const placed = assembly?.proposal?.placed ?? [];
  if (assembly === null || placed.length === 0) return;
  await glazier.post(`${tray}/joinings`, 'demo-shards-kept', {
    assemblyId: assembly.assemblyId,
    laid: placed.map(({ shard, pose }) => ({ shard, pose, isLocked: true, laidBy: 'proposal' })),
    note: 'Laid dry in a tray of sand; the hem of the cloak is not among the shards.',
    happened: TRAY.happened,
  });
}
