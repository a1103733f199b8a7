/** Brings a sketch to the one form that the rest works on, or says what is wrong with it. */
import Flatbush from 'flatbush';
import type { NetSketch, SketchLead, XyMm } from './net.js';
import { NetError } from './net-error.js';
import { distanceMm, polylineLengthMm, roundXy } from './ring.js';
import { leaveTogether, segmentsMeet } from './segments.js';

/** A sketch whose order says nothing: nodes by place, leads by their ends, lines from low to high. */
export interface CleanSketch {
  readonly nodes: readonly XyMm[];
  readonly leads: readonly SketchLead[];
  /** For each lead its place in the sketch as given. */
  readonly givenAs: readonly number[];
}

/** Ends that differ from their node by more than this are a mistake, by less are moved onto it. */
const END_SLACK_MM = 0.05;

/**
 * Rounds to 0.001 mm, drops unused nodes and repeated points, sorts, checks that no two leads meet
 * except at nodes. The same drawing in another order gives the same answer.
 *
 * @throws {NetError} `bad-sketch`, `leads-cross`, `leads-overlap`
 */
export function cleanSketch(sketch: NetSketch): CleanSketch {
  const used = new Set<number>();
  sketch.leads.forEach((lead, at) => {
    for (const end of [lead.from, lead.to]) {
      if (!Number.isInteger(end) || end < 0 || end >= sketch.nodes.length) {
        throw new NetError('bad-sketch', `lead ${at} ends at node ${end}, which is not there`);
      }
      used.add(end);
    }
  });
  const order = [...used]
    .map((index) => ({ index, xyMm: finite(sketch.nodes[index]!.xyMm, `node ${index}`) }))
    .sort((a, b) => comparePoints(a.xyMm, b.xyMm));
  for (let i = 1; i < order.length; i++) {
    if (comparePoints(order[i - 1]!.xyMm, order[i]!.xyMm) === 0) {
      throw new NetError(
        'bad-sketch',
        `nodes ${order[i - 1]!.index} and ${order[i]!.index} are at the same place: join them`,
        order[i]!.xyMm,
      );
    }
  }
  const place = new Map(order.map(({ index }, at) => [index, at]));
  const nodes = order.map(({ xyMm }) => xyMm);
  const sorted = sketch.leads
    .map((lead, at) => ({ at, lead: cleanLead(lead, at, place, nodes) }))
    .sort((a, b) => compareLeads(a.lead, b.lead));
  const leads = sorted.map(({ lead }) => lead);
  checkMeetings(nodes, leads);
  return { nodes, leads, givenAs: sorted.map(({ at }) => at) };
}

/** What keeps a sketch from becoming a net, with its place; null when nothing does so far. */
export function sketchFault(sketch: NetSketch): NetError | null {
  try {
    cleanSketch(sketch);
    return null;
  } catch (error) {
    if (error instanceof NetError) return error;
    throw error;
  }
}

function cleanLead(
  lead: SketchLead,
  at: number,
  place: ReadonlyMap<number, number>,
  nodes: readonly XyMm[],
): SketchLead {
  const from = place.get(lead.from)!;
  const to = place.get(lead.to)!;
  const name = `lead ${at}`;
  if (lead.lineMm.length < 2) throw new NetError('bad-sketch', `${name} has fewer than two points`);
  if (!(lead.faceWidthMm > 0 && Number.isFinite(lead.faceWidthMm))) {
    throw new NetError('bad-sketch', `${name} has no face width`, nodes[from]);
  }
  if (!(lead.confidenceP >= 0 && lead.confidenceP <= 1)) {
    throw new NetError('bad-sketch', `${name}: confidence must be between 0 and 1`, nodes[from]);
  }
  if (!(lead.widthSpreadMm >= 0 && Number.isFinite(lead.widthSpreadMm))) {
    throw new NetError('bad-sketch', `${name}: width spread must be 0 or more`, nodes[from]);
  }
  const raw = lead.lineMm.map((xyMm) => finite(xyMm, name));
  for (const [end, node] of [
    [raw[0]!, nodes[from]!],
    [raw[raw.length - 1]!, nodes[to]!],
  ] as const) {
    if (distanceMm(end, node) > END_SLACK_MM) {
      throw new NetError('bad-sketch', `${name} does not reach the node it ends at`, end);
    }
  }
  raw[0] = nodes[from]!;
  raw[raw.length - 1] = nodes[to]!;
  const line = raw.filter((xyMm, i) => i === 0 || comparePoints(raw[i - 1]!, xyMm) !== 0);
  if (line.length < 2 || (from === to && line.length < 4)) {
    throw new NetError('bad-sketch', `${name} has no length`, nodes[from]);
  }
  const turn = from > to || (from === to && comparePoints(line[1]!, line[line.length - 2]!) > 0);
  return {
    ...lead,
    from: turn ? to : from,
    to: turn ? from : to,
    lineMm: turn ? line.reverse() : line,
    doubts: [...new Set(lead.doubts)].sort(),
  };
}

function finite([x, y]: XyMm, name: string): XyMm {
  if (!Number.isFinite(x) || !Number.isFinite(y)) {
    throw new NetError('bad-sketch', `${name} has a coordinate that is not a number`);
  }
  return roundXy([x, y]);
}

function comparePoints(a: XyMm, b: XyMm): number {
  return a[1] - b[1] || a[0] - b[0];
}

function compareLeads(a: SketchLead, b: SketchLead): number {
  return (
    a.from - b.from ||
    a.to - b.to ||
    comparePoints(a.lineMm[1]!, b.lineMm[1]!) ||
    polylineLengthMm(a.lineMm) - polylineLengthMm(b.lineMm)
  );
}

/** Every pair of segments that could meet, by a spatial index; shared ends may only fork. */
function checkMeetings(nodes: readonly XyMm[], leads: readonly SketchLead[]): void {
  const from: XyMm[] = [];
  const to: XyMm[] = [];
  // Vertex keys: a node's index, or a number of its own for each bend inside a line.
  const keyFrom: number[] = [];
  const keyTo: number[] = [];
  let nextKey = nodes.length;
  for (const lead of leads) {
    let key = lead.from;
    for (let i = 1; i < lead.lineMm.length; i++) {
      from.push(lead.lineMm[i - 1]!);
      to.push(lead.lineMm[i]!);
      keyFrom.push(key);
      key = i === lead.lineMm.length - 1 ? lead.to : nextKey++;
      keyTo.push(key);
    }
  }
  if (from.length === 0) throw new NetError('bad-sketch', 'the drawing has no leads');
  const index = new Flatbush(from.length);
  for (let i = 0; i < from.length; i++) {
    const [ax, ay] = from[i]!;
    const [bx, by] = to[i]!;
    index.add(Math.min(ax, bx), Math.min(ay, by), Math.max(ax, bx), Math.max(ay, by));
  }
  index.finish();
  for (let i = 0; i < from.length; i++) {
    const a = from[i]!;
    const b = to[i]!;
    const near = index.search(
      Math.min(a[0], b[0]),
      Math.min(a[1], b[1]),
      Math.max(a[0], b[0]),
      Math.max(a[1], b[1]),
    );
    for (const j of near) {
      if (j <= i) continue;
      checkPair(a, b, keyFrom[i]!, keyTo[i]!, from[j]!, to[j]!, keyFrom[j]!, keyTo[j]!);
    }
  }
}

function checkPair(
  a: XyMm,
  b: XyMm,
  keyA: number,
  keyB: number,
  c: XyMm,
  d: XyMm,
  keyC: number,
  keyD: number,
): void {
  if (keyA === keyC || keyA === keyD || keyB === keyC || keyB === keyD) {
    const atA = keyA === keyC || keyA === keyD;
    const shared = atA ? a : b;
    const mine = atA ? b : a;
    const other = keyC === (atA ? keyA : keyB) ? d : c;
    if (leaveTogether(shared, mine, other)) {
      throw new NetError('leads-overlap', 'two leads lie on each other: keep one', shared);
    }
    return;
  }
  if (segmentsMeet(a, b, c, d)) {
    throw new NetError(
      'leads-cross',
      'two leads cross where there is no joint: put a joint there or move one',
      [(a[0] + b[0] + c[0] + d[0]) / 4, (a[1] + b[1] + c[1] + d[1]) / 4],
    );
  }
}
