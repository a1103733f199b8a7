/** truth.json of a rubbing case: what the generator knows exactly, in the neutral format of the sample cases. */
import { nodeDegrees, turnAt } from './arrangement.js';
import { type Camera, projectToImage } from './camera.js';
import type { Control, Mark } from './control-marks.js';
import type { PanelNet } from './panel-net.js';
import { insetRing, lengthMm, type Point, resample, ringArea } from './polyline.js';
import { seenAlong } from './seen.js';
import type { Sheet } from './sheet.js';

/** Half thickness of the came's heart: glass is cut this much inside the centre line. */
const HEART_HALF_MM = 0.9;

const round3 = (p: Point): [number, number] => [
  Math.round(p[0] * 1000) / 1000,
  Math.round(p[1] * 1000) / 1000,
];
const round = (v: number, digits: number): number => Math.round(v * 10 ** digits) / 10 ** digits;

/** One picture of the sheet, with the marks that it shows. */
export interface View {
  image: string;
  camera: Camera;
  marks: readonly Mark[];
}

/** The paper and what lies on it; one for each sheet that was rubbed. */
export interface RubbedSheet {
  sheet: Sheet;
  cover: Float32Array;
}

/**
 * @param net the panel in its own frame
 * @param shown the same as the sheets show it: mirrored when the outside was rubbed
 * @param rubbed undefined for a tracing, which leaves nothing out
 */
export function rubbingTruth(
  net: PanelNet,
  shown: PanelNet,
  rubbed: readonly RubbedSheet[] | undefined,
  control: Control,
  views: readonly View[],
  options: { widthShown: boolean; mirrorSumMm?: number | undefined },
) {
  const { graph, faces } = net;
  const seenOf = (id: number): number[] => {
    const { line, widthMm } = shown.graph.leads[id]!;
    if (!rubbed) return resample(line, 2).map(() => 1);
    const each = rubbed.map(({ sheet, cover }) => seenAlong(sheet, cover, line, widthMm));
    return each[0]!.map((_, k) => Math.max(...each.map((seen) => seen[k]!)));
  };
  const leads = graph.leads.map((e, id) => ({
    id,
    a: e.from,
    b: e.to,
    // A line along the middle says nothing of the face.
    width_mm: options.widthShown ? e.widthMm : null,
    kind: e.kind,
    line: e.line.map(round3),
    left: faces.sides[id]![0],
    right: faces.sides[id]![1],
    length_mm: round(lengthMm(e.line), 2),
    seen: seenOf(id),
  }));
  const unseenShare = (leadIds: readonly number[]): number => {
    let unseen = 0;
    let all = 0;
    for (const i of leadIds) {
      const { length_mm: length, seen } = leads[i]!;
      all += length;
      unseen += length * (1 - seen.reduce((s, v) => s + v, 0) / seen.length);
    }
    return all ? unseen / all : 0;
  };
  const pieces = faces.faces.map((f, id) => ({
    id,
    polygon: [...f.ring, f.ring[0]!].map(round3),
    cut_polygon: insetRing(f.ring, HEART_HALF_MM).map(round3),
    area_mm2: round(Math.abs(ringArea(f.ring)), 1),
    optional: unseenShare(f.leads) > 0.25,
  }));
  const degree = nodeDegrees(graph);
  const junctions = graph.nodes.map((xy, id) => ({
    id,
    xy: round3(xy),
    degree: degree[id]!,
    seen: leads.flatMap((e) => endsAt(e, id)).filter(Boolean).length >= 3,
  }));
  const lengthByWidth: Record<string, number> = {};
  for (const [i, e] of leads.entries()) {
    const { widthMm } = graph.leads[i]!;
    lengthByWidth[widthMm] = round((lengthByWidth[widthMm] ?? 0) + e.length_mm, 1);
  }
  return {
    task: 'rubbing',
    ...(control.freeFrame ? { align: 'rigid' } : {}),
    panel: {
      size_mm: net.sizeMm.map((v) => round(v, 1)),
      outline: net.outline.map(round3),
      design: net.style,
    },
    pieces,
    leads,
    junctions,
    corners: corners(net),
    adjacency: leads
      .filter((e) => e.left >= 0 && e.right >= 0 && e.left !== e.right)
      .map((e) => ({ a: e.left, b: e.right, lead: e.id, width: graph.leads[e.id]!.widthMm })),
    counts: { pieces: pieces.length, leads: leads.length, junctions: junctions.length },
    lead_length_by_width_mm: lengthByWidth,
    lead_length_total_mm: round(
      leads.reduce((s, e) => s + e.length_mm, 0),
      1,
    ),
    ...(options.mirrorSumMm === undefined ? {} : { mirror_sum_mm: options.mirrorSumMm }),
    control_px: Object.fromEntries(
      views.map(({ image, camera, marks }) => [
        image,
        marks.map(({ name, mm }) => ({
          name,
          mm: round3(mm),
          px: round3(projectToImage(camera, mm)),
        })),
      ]),
    ),
    camera: Object.fromEntries(
      views.map(({ image, camera }) => [
        image,
        {
          homography_mm_to_px: camera.imageFromPanel,
          k1: camera.k1,
          centre: camera.centre,
          r0: camera.r0,
          size: [camera.widthPx, camera.heightPx],
        },
      ]),
    ),
    frame: 'mm, x right, y down, origin at the top left of the panel; pixel centres at integer px',
  };
}

/** For each end of a lead at this joint: does at least half of its first 8 mm show? */
function endsAt(e: { a: number; b: number; seen: number[] }, joint: number): boolean[] {
  const half = (near: number[]): boolean => near.reduce((s, v) => s + v, 0) / near.length >= 0.5;
  const out: boolean[] = [];
  if (e.a === joint) out.push(half(e.seen.slice(0, 4)));
  if (e.b === joint) out.push(half(e.seen.slice(-4)));
  return out;
}

/** Bends of one lead sharper than 38 degrees over 7 mm either side; the sharpest point of each. */
function corners(net: PanelNet): [number, number][] {
  const out: [number, number][] = [];
  for (const { line } of net.graph.leads) {
    const turns = line.map((_, i) => (i === 0 || i === line.length - 1 ? 0 : turnAt(line, i, 7)));
    turns.forEach((turn, i) => {
      if (turn < 0.66) return;
      if (
        turns
          .slice(Math.max(0, i - 3), i + 4)
          .some((other, k, list) => other > turn && list[k] !== undefined)
      )
        return;
      const [x, y] = round3(line[i]!);
      if (!out.some((p) => Math.hypot(p[0] - x, p[1] - y) < 6)) out.push([x, y]);
    });
  }
  return out;
}
