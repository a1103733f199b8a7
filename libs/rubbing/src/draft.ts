/**
 * The net while it is being fitted: nodes and leads as points about 1 mm apart in one flat list, so that all of them
 * can be settled together. Panel millimetres.
 */
import type { CrackGraph } from './crack-graph.js';

export interface DraftLead {
  from: number;
  to: number;
  /** Places in `Draft.xy` of the points between the nodes, from `from` to `to`. */
  first: number;
  count: number;
  left: number;
  right: number;
  faceWidthMm: number;
}

export interface Draft {
  /** Flat x,y: the nodes first, then the points of every lead. */
  xy: Float64Array;
  nodeCount: number;
  leads: DraftLead[];
}

export const SPACING_MM = 1;

/** Index into `xy / 2` of point k of a lead: 0 is its first node, count + 1 its last. */
export function pointOf(lead: DraftLead, k: number): number {
  return k <= 0 ? lead.from : k > lead.count ? lead.to : lead.first + k - 1;
}

/** The whole line of a lead, nodes included, flat. */
export function lineOf(draft: Draft, lead: DraftLead): Float64Array {
  const out = new Float64Array(2 * (lead.count + 2));
  for (let k = 0; k <= lead.count + 1; k++) {
    const p = pointOf(lead, k);
    out[2 * k] = draft.xy[2 * p]!;
    out[2 * k + 1] = draft.xy[2 * p + 1]!;
  }
  return out;
}

export function lengthOf(draft: Draft, lead: DraftLead): number {
  const line = lineOf(draft, lead);
  let s = 0;
  for (let k = 2; k < line.length; k += 2) {
    s += Math.hypot(line[k]! - line[k - 2]!, line[k + 1]! - line[k - 1]!);
  }
  return s;
}

/**
 * @param mmOfCell panel place of a cell coordinate
 */
export function draftFromCracks(
  graph: CrackGraph,
  mmOfCell: (x: number, y: number) => [number, number],
  faceWidthMm: number,
): Draft {
  const lines = graph.chains.map((chain) => {
    const line = new Float64Array(chain.xy.length);
    for (let k = 0; k < line.length; k += 2) {
      [line[k], line[k + 1]] = mmOfCell(chain.xy[k]!, chain.xy[k + 1]!);
    }
    return { ...chain, line: rounded(line), faceWidthMm };
  });
  const nodes = new Float64Array(graph.nodes.length);
  for (let k = 0; k < nodes.length; k += 2) {
    [nodes[k], nodes[k + 1]] = mmOfCell(graph.nodes[k]!, graph.nodes[k + 1]!);
  }
  return draftOf(nodes, lines);
}

/** Packs nodes and lines (both ends included) into a draft, points `SPACING_MM` apart. */
export function draftOf(
  nodes: ArrayLike<number>,
  lines: readonly {
    from: number;
    to: number;
    line: Float64Array;
    left: number;
    right: number;
    faceWidthMm: number;
  }[],
): Draft {
  const xy: number[] = Array.from(nodes);
  const leads = lines.map(({ from, to, line, left, right, faceWidthMm }) => {
    const points = inner(line);
    const first = xy.length / 2;
    for (const v of points) xy.push(v);
    return { from, to, first, count: points.length / 2, left, right, faceWidthMm };
  });
  return { xy: Float64Array.from(xy), nodeCount: nodes.length / 2, leads };
}

/** Points between the ends, evenly about SPACING_MM apart; at least one. */
function inner(line: Float64Array): number[] {
  const n = line.length / 2;
  const s = new Float64Array(n);
  for (let k = 1; k < n; k++) {
    s[k] =
      s[k - 1]! + Math.hypot(line[2 * k]! - line[2 * k - 2]!, line[2 * k + 1]! - line[2 * k - 1]!);
  }
  const total = s[n - 1]!;
  const count = Math.max(1, Math.round(total / SPACING_MM) - 1);
  const out: number[] = [];
  let j = 1;
  for (let k = 1; k <= count; k++) {
    const want = (total * k) / (count + 1);
    while (j < n - 1 && s[j]! < want) j++;
    const f = s[j]! > s[j - 1]! ? (want - s[j - 1]!) / (s[j]! - s[j - 1]!) : 0;
    out.push(
      line[2 * j - 2]! + f * (line[2 * j]! - line[2 * j - 2]!),
      line[2 * j - 1]! + f * (line[2 * j + 1]! - line[2 * j - 1]!),
    );
  }
  return out;
}

/** Takes the stairs off a crack line: four passes of (1 2 1) / 4, ends fixed. */
function rounded(line: Float64Array): Float64Array {
  let now = line;
  for (let pass = 0; pass < 4; pass++) {
    const next = now.slice();
    for (let k = 2; k < now.length - 2; k++)
      next[k] = (now[k - 2]! + 2 * now[k]! + now[k + 2]!) / 4;
    now = next;
  }
  return now;
}
