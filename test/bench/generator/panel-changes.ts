/** What happens to a panel after it was leaded: open-ended leads, copper foil, a bulge; and its mirror image. */
import type { Graph, GraphLead } from './arrangement.js';
import { findFaces } from './faces.js';
import type { PanelNet } from './panel-net.js';
import {
  distance,
  distanceToLine,
  isInside,
  lengthMm,
  type Point,
  resample,
  ringArea,
} from './polyline.js';
import type { RandomStream } from './random-stream.js';

/** Every point of the panel moved by one map that keeps the sense of turning. */
export function movedNet(net: PanelNet, place: (p: Point) => Point): PanelNet {
  return {
    ...net,
    outline: net.outline.map(place),
    graph: {
      nodes: net.graph.nodes.map(place),
      leads: net.graph.leads.map((e) => ({ ...e, line: e.line.map(place) })),
    },
    faces: {
      ...net.faces,
      faces: net.faces.faces.map((f) => ({ ...f, ring: f.ring.map(place) })),
    },
  };
}

/** x of the line about which the two faces of the panel mirror: midway between the outer leads' outer edges. */
export function mirrorSumMm(net: PanelNet): number {
  const xs = net.graph.leads.flatMap((e) =>
    e.line.flatMap(([x]) => [x - e.widthMm / 2, x + e.widthMm / 2]),
  );
  return (
    xs.reduce((a, b) => Math.min(a, b), Infinity) + xs.reduce((a, b) => Math.max(a, b), -Infinity)
  );
}

export function withFoil(random: RandomStream, graph: Graph): Graph {
  const widthMm = random.pick([3, 3.5, 4]);
  return {
    ...graph,
    leads: graph.leads.map((e) => (e.kind === 'outer' ? e : { ...e, kind: 'foil', widthMm })),
  };
}

/**
 * Leads that start at another lead and end in the glass. The pieces stay as they are.
 * @throws Error when no piece has room
 */
export function withOpenEnds(random: RandomStream, net: PanelNet, count: number): PanelNet {
  let { graph } = net;
  for (let done = 0, attempt = 0; done < count; attempt++) {
    if (attempt > 400) throw new Error('no piece has room for a lead with an open end');
    const found = openEnd(random, graph);
    if (!found) continue;
    graph = found;
    done++;
  }
  return { ...net, graph, faces: findFaces(graph) };
}

function openEnd(random: RandomStream, graph: Graph): Graph | undefined {
  const { faces } = findFaces(graph);
  const face = random.pick(faces.filter((f) => Math.abs(ringArea(f.ring)) > 1600));
  const index = random.pick(face.leads);
  const lead = graph.leads[index]!;
  if (lead.kind === 'outer' || lengthMm(lead.line) < 36) return undefined;
  const dense = resample(lead.line, 2);
  const k = Math.round(dense.length * random.between(0.4, 0.6));
  const [at, next] = [dense[k]!, dense[k + 1]!];
  const d = distance(at, next);
  const side = random.chance(0.5) ? 1 : -1;
  const lean = random.between(-0.4, 0.4);
  const u: Point = [(next[0] - at[0]) / d, (next[1] - at[1]) / d];
  const v: Point = [-side * u[1] + lean * u[0], side * u[0] + lean * u[1]];
  const long = random.between(18, 34) / Math.hypot(...v);
  const bow = random.between(-1.5, 1.5);
  const line = [0, 0.25, 0.5, 0.75, 1].map(
    (t): Point => [
      at[0] + long * t * v[0] + 4 * bow * t * (1 - t) * u[0],
      at[1] + long * t * v[1] + 4 * bow * t * (1 - t) * u[1],
    ],
  );
  const end = line.at(-1)!;
  const others = face.leads.filter((i) => i !== index).map((i) => graph.leads[i]!);
  const room = others.every((e) => distanceToLine(end, e.line) > e.widthMm / 2 + 12);
  if (!isInside(end, face.ring) || !room) return undefined;
  if (distanceToLine(end, lead.line) < 14) return undefined;
  const joint = graph.nodes.length;
  const part = (points: Point[], from: number, to: number): GraphLead => ({
    ...lead,
    line: points,
    from,
    to,
  });
  return {
    nodes: [...graph.nodes, at, end],
    leads: [
      ...graph.leads.filter((_, i) => i !== index),
      part(dense.slice(0, k + 1), lead.from, joint),
      part(dense.slice(k), joint, lead.to),
      { from: joint, to: joint + 1, line, widthMm: random.pick([4, 5]), kind: 'broken' },
    ],
  };
}

/**
 * Place along a circular arc over a chord: what paper pressed onto a bulged panel measures.
 * Geometry: radius (c² / 4 + s²) / 2s; chord 600 with rise 25 gives an arc of 602.774.
 * @param chordMm straight length @param riseMm rise in the middle
 */
export function developedAlong(chordMm: number, riseMm: number): (mm: number) => number {
  const radius = (chordMm ** 2 / 4 + riseMm ** 2) / (2 * riseMm);
  const half = Math.asin(chordMm / (2 * radius));
  const angleAt = (mm: number): number => Math.asin((mm - chordMm / 2) / radius) + half;
  // The few millimetres beyond the arc's ends lie in the plane.
  return (mm) =>
    mm < 0 ? mm : mm > chordMm ? 2 * half * radius + (mm - chordMm) : radius * angleAt(mm);
}

/** The panel as a rubbing of its bulge shows it, unrolled; a little longer than the panel in plan. */
export function developedNet(net: PanelNet, bulge: { riseMm: number; along: 'x' | 'y' }): PanelNet {
  const axis = bulge.along === 'x' ? 0 : 1;
  const along = developedAlong(net.sizeMm[axis], bulge.riseMm);
  const place = ([x, y]: Point): Point => (axis === 0 ? [along(x), y] : [x, along(y)]);
  return { ...movedNet(net, place), sizeMm: place(net.sizeMm) };
}
