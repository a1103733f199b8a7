/** Lines to a sketch of leads that bound pieces, with all that had to be put right. */
import type { NetSketch, SketchLead, XyMm } from '../net.js';
import { boundsMm, roundXy } from '../ring.js';
import type { CleanSketch } from '../sketch.js';
import type { CartoonRepair } from './cartoon.js';
import { chains, mannerOf } from './chains.js';
import { type FreeLine, withoutFreeEnds } from './free-ends.js';
import { joinEnds } from './join-ends.js';
import type { RawLine } from './raw-line.js';
import { HERE } from './say-place.js';
import { type Edge, type EdgeGraph, splitLines } from './split-lines.js';
import { bounds, bridges, doubles, outside, rimLeads } from './tidy-leads.js';

export interface PlanarSketch {
  readonly sketch: NetSketch;
  readonly repairs: readonly CartoonRepair[];
  /** Where lines longer than the tolerance ended free at the drawing's own edge: it may have none drawn. */
  readonly freeAtEdgeMm: readonly XyMm[];
  readonly freeLines: number;
}

const ROUNDS_MAX = 40;
/** Nearer to the box round all lines than this share of its smaller side: at the drawing's edge. */
const EDGE_RATIO = 0.02;

export function planarSketch(
  raw: readonly RawLine[],
  toleranceMm: number,
  faceWidthMm: number,
): PlanarSketch {
  const repairs: CartoonRepair[] = [];
  const lines = joinEnds(raw, toleranceMm, repairs);
  const manners = lines.map((line) => mannerOf(line, faceWidthMm));
  const isLoose = (line: number) => !bounds(manners[line]!);
  let graph = splitLines(lines, repairs);
  const first = withoutFreeEnds(graph, isLoose);
  graph = { places: graph.places, edges: first.edges };
  const freeLines = first.free.filter(({ lengthMm }) => lengthMm > toleranceMm);
  for (const free of first.free) repairs.push(sayFree(free, toleranceMm));
  for (let round = 0; round < ROUNDS_MAX; round++) {
    const sketch = chains(graph, manners);
    const twins = doubles(sketch, toleranceMm);
    const gone = twins.size > 0 ? twins : bridges(sketch);
    const lost = gone.size > 0 ? gone : outside(sketch);
    if (lost.size === 0) break;
    repairs.push(...[...lost.values()].filter((repair) => repair !== null));
    graph = withoutLeads(graph, sketch, new Set(lost.keys()));
    const next = withoutFreeEnds(graph, isLoose);
    for (const free of next.free) repairs.push(sayFree(free, toleranceMm));
    graph = { places: graph.places, edges: next.edges };
  }
  return {
    sketch: finished(chains(graph, manners)),
    repairs,
    freeAtEdgeMm: placesAtEdge(
      freeLines.flatMap(({ tipsMm }) => tipsMm),
      lines,
    ),
    freeLines: freeLines.length,
  };
}

function sayFree({ lengthMm, tipsMm }: FreeLine, toleranceMm: number): CartoonRepair {
  const xyMm = tipsMm[0]!;
  return lengthMm <= toleranceMm
    ? {
        kind: 'too-short-dropped',
        sentence: `A line ran ${lengthMm.toFixed(2)} mm too far ${HERE}: cut back.`,
        xyMm,
      }
    : {
        kind: 'dangling-end',
        sentence: `A line of ${lengthMm.toFixed(1)} mm ends free ${HERE} and bounds no piece: left out.`,
        xyMm,
      };
}

function withoutLeads(
  { places, edges }: EdgeGraph,
  sketch: CleanSketch,
  gone: ReadonlySet<number>,
): EdgeGraph {
  const key = (a: XyMm, b: XyMm) => `${a[0]},${a[1]} ${b[0]},${b[1]}`;
  const lost = new Set<string>();
  for (const at of gone) {
    const { lineMm } = sketch.leads[at]!;
    for (let i = 1; i < lineMm.length; i++) {
      lost.add(key(lineMm[i - 1]!, lineMm[i]!)).add(key(lineMm[i]!, lineMm[i - 1]!));
    }
  }
  return {
    places,
    edges: edges.filter(({ from, to }: Edge) => !lost.has(key(places[from]!, places[to]!))),
  };
}

/** Outer leads named as such; micrometres. */
function finished(sketch: CleanSketch): NetSketch {
  const rim = rimLeads(sketch);
  const nodes = sketch.nodes.map((xyMm) => ({ xyMm: roundXy(xyMm) }));
  return {
    nodes,
    leads: sketch.leads.map((lead, i): SketchLead => {
      const lineMm = lead.lineMm.map(roundXy);
      return { ...lead, kind: rim.has(i) ? 'outer' : lead.kind, lineMm };
    }),
  };
}

function placesAtEdge(places: readonly XyMm[], lines: readonly RawLine[]): XyMm[] {
  const box = boundsMm(lines.flatMap(({ pointsMm }) => pointsMm));
  const near = EDGE_RATIO * Math.min(box.maxX - box.minX, box.maxY - box.minY);
  return places.filter(
    ([x, y]) => Math.min(x - box.minX, box.maxX - x, y - box.minY, box.maxY - y) <= near,
  );
}
