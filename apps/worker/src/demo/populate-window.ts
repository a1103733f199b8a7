/**
 * The populated window, sII: each panel rubbed, photographed, measured by the real pipeline, some signed, with
 * findings inside real pieces and work of three times.
 */
import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Net, NetPiece, XyMm } from '#libs/net';
import type { DemoApi } from './demo-api.js';

export const POPULATED_PANELS = ['1a', '1b', '2a', '2b', '3a', '3b', 'A1'] as const;
const SIGNED_PANELS = new Set(['1b', '2a', '2b', 'A1']);
const POLL_MS = 500;
const EXTRACTION_LIMIT_MS = 300_000;

export interface DemoPanel {
  readonly panelId: string;
  readonly mark: string;
}

interface CaseInput {
  readonly images: readonly [{ image: string; control: unknown }];
}

/** Conditions, sheet and picture of one rubbing; asks for its lead drawing. Gives the job's id. */
export async function recordRubbing(
  api: DemoApi,
  siteId: string,
  { panelId, mark }: DemoPanel,
  fixtures: string,
): Promise<string> {
  const folder = join(fixtures, `sII-${mark}`);
  const input = JSON.parse(await readFile(join(folder, 'input.json'), 'utf8')) as CaseInput;
  const taps = JSON.parse(await readFile(join(folder, 'clicks.json'), 'utf8')) as Record<
    string,
    [number, number][]
  >;
  const { image, control } = input.images[0];
  const rubbing = await api.post<{ rubbingId: string }>(
    `/v1/panels/${panelId}/rubbings`,
    `rubbing ${mark}`,
    {
      conditions: { paintTested: true, looseAreas: 'none', panelSupported: true },
      sheet: {
        medium: 'heelball on lining paper',
        face: 'inside',
        layer: 'front',
        sheets: 1,
        takenBy: 'Glazier',
        shelf: `plan chest 2, drawer ${mark}`,
      },
      happened: '2026-03-04',
    },
  );
  const mediaId = await api.attach(siteId, join(folder, image), {
    fileName: `sII-${mark} rubbing.jpg`,
    kind: 'rubbing',
    stage: 'before',
    face: 'inside',
    layer: 'front',
    subjects: `sII.${mark}`,
    happened: '2026-03-04',
    author: 'Glazier',
  });
  const { jobId } = await api.post<{ jobId: string }>(
    `/v1/rubbings/${rubbing.rubbingId}/extractions`,
    `extraction ${mark}`,
    { mediaId, control, taps: taps[image] },
  );
  return jobId;
}

/** Waits for the lead drawing; signs it where the demo has it signed. */
export async function settleDrawing(
  api: DemoApi,
  { panelId, mark }: DemoPanel,
  jobId: string,
): Promise<void> {
  const until = Date.now() + EXTRACTION_LIMIT_MS;
  for (;;) {
    const job = await api.get<{ state: string; result?: { revision: number }; problem?: unknown }>(
      `/v1/jobs/${jobId}`,
    );
    if (job.state === 'done') {
      if (!SIGNED_PANELS.has(mark)) return;
      const { revision } = job.result!;
      await api.post(`/v1/panels/${panelId}/nets/${revision}/sign`, `sign ${mark}`, {});
      return;
    }
    if (job.state === 'failed') throw new Error(`${mark}: ${JSON.stringify(job.problem)}`);
    if (Date.now() > until) throw new Error(`${mark}: no lead drawing after five minutes`);
    await new Promise((resolve) => setTimeout(resolve, POLL_MS));
  }
}

/** The photograph in transmitted light, laid under the panel by six joints. */
export async function layPhotograph(
  api: DemoApi,
  siteId: string,
  { panelId, mark }: DemoPanel,
  fixtures: string,
): Promise<string | undefined> {
  const file = join(fixtures, `sII-${mark}`, 'transmitted.jpg');
  if (!existsSync(file)) return undefined;
  const mediaId = await api.attach(siteId, file, {
    fileName: `sII-${mark} transmitted.jpg`,
    kind: 'photograph',
    light: 'transmitted',
    stage: 'before',
    face: 'inside',
    subjects: `sII.${mark}`,
    happened: '2026-03-02',
    author: 'Surveyor',
  });
  const points = JSON.parse(
    await readFile(file.replace(/\.jpg$/, '.points.json'), 'utf8'),
  ) as unknown;
  await api.put(`/v1/panels/${panelId}/placements/${mediaId}`, points);
  return mediaId;
}

/** Findings drawn inside pieces of the signed drawing. */
export async function recordFindings(
  api: DemoApi,
  { panelId, mark }: DemoPanel,
  evidence: readonly string[],
): Promise<Net> {
  const { items } = await api.get<{ items: { revision: number }[] }>(`/v1/panels/${panelId}/nets`);
  const net = await api.get<Net>(`/v1/panels/${panelId}/nets/${items[0]!.revision}`);
  const [first, second, third] = [...net.pieces].sort((a, b) => b.labelRadiusMm - a.labelRadiusMm);
  const joint = net.joints.find(({ degree }) => degree >= 3)!;
  const found = [
    { term: 'glass.crack.simple', geometry: { kind: 'line', xyMm: crackIn(first!) } },
    { term: 'paint.loss', geometry: { kind: 'area', xyMm: patchIn(second!, 0.55) } },
    { term: 'glass.pit.merged', geometry: { kind: 'area', xyMm: patchIn(third!, 0.4) } },
    { term: 'solder.crack', geometry: { kind: 'point', xyMm: [joint.xyMm] } },
  ];
  for (const [i, finding] of found.entries()) {
    await api.post(`/v1/panels/${panelId}/findings`, `finding ${mark} ${i}`, {
      ...finding,
      face: 'inside',
      evidence,
      happened: '2026-03-05',
    });
  }
  return net;
}

/** A crack that wanders through the widest part of a piece. */
function crackIn({ labelMm: [x, y], labelRadiusMm: r }: NetPiece): XyMm[] {
  return [-0.85, -0.35, 0.05, 0.45, 0.85].map(
    (t, i): XyMm => [mm(x + t * r), mm(y + t * 0.4 * r + (i % 2 === 0 ? 1.6 : -1.6))],
  );
}

/** A ragged patch of `share` of the piece's inscribed circle. */
function patchIn({ labelMm: [x, y], labelRadiusMm: r }: NetPiece, share: number): XyMm[] {
  return Array.from({ length: 14 }, (_, i): XyMm => {
    const turn = (2 * Math.PI * i) / 14;
    const reach = share * r * (1 + 0.18 * Math.sin(3 * turn) + 0.1 * Math.cos(5 * turn));
    return [mm(x + reach * Math.cos(turn)), mm(y + reach * Math.sin(turn))];
  });
}

const mm = (value: number): number => Math.round(value * 10) / 10;
