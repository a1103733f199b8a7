/** A design made into a panel: hand errors, joints, pieces, no sliver too thin to be glass. */
import { arrange, type Graph, withoutLead } from './arrangement.js';
import type { Curve, Design } from './curve.js';
import { overshoot } from './designs/figure.js';
import { bowed } from './designs/split-region.js';
import { type Faces, findFaces, sightRadiusMm } from './faces.js';
import { type Point, resample } from './polyline.js';
import type { RandomStream } from './random-stream.js';
import { SmoothNoise } from './smooth-noise.js';

export interface PanelNet {
  style: string;
  sizeMm: readonly [number, number];
  outline: Point[];
  graph: Graph;
  faces: Faces;
}

/** No glass is cut narrower than this between the leads. */
const LEAST_SIGHT_RADIUS_MM = 1.9;

/** @param straps leads that lie on one face only; what a rubbing shows of them is a lead like others */
export function panelNet(random: RandomStream, design: Design, straps = 0): PanelNet {
  const mending = random.branch('mending');
  let graph = arrange([
    ...design.curves,
    ...leadsAcross(mending, design, 'mending', mending.whole(0, 4)),
    ...leadsAcross(random.branch('straps'), design, 'strap', straps),
  ]);
  for (;;) {
    const faces = findFaces(graph);
    const thin = faces.faces.find((f) => sightRadiusMm(graph, f) < LEAST_SIGHT_RADIUS_MM);
    if (!thin) break;
    const rank = { outer: 3, border: 2, inner: 1, foil: 1, mending: 0, strap: 0, broken: 0 };
    const candidates = thin.leads.map((i) => graph.leads[i]!).filter((e) => e.kind !== 'outer');
    const first = candidates.sort(
      (p, q) => rank[p.kind] - rank[q.kind] || q.line.length - p.line.length,
    )[0];
    if (!first)
      throw new Error('a piece of this design is too thin and has only outer came round it');
    graph = withoutLead(graph, first);
  }
  const bend = outOfTrue(random, design.sizeMm);
  graph = {
    nodes: graph.nodes.map(bend),
    leads: graph.leads.map((e) => ({ ...e, line: resample(e.line, 4).map(bend) })),
  };
  return {
    ...design,
    outline: resample([...design.outline, design.outline[0]!], 5).map(bend),
    graph,
    faces: findFaces(graph),
  };
}

/** What a later hand leaded over breaks: nearly straight, anywhere, from lead to lead. */
function leadsAcross(
  random: RandomStream,
  design: Design,
  kind: 'mending' | 'strap',
  count: number,
): Curve[] {
  const { faces } = findFaces(arrange(design.curves));
  return Array.from({ length: count }, (): Curve => {
    const { ring } = random.pick(faces);
    const n = ring.length;
    const a = random.whole(0, n - 1);
    const b = (a + Math.round(n * random.between(0.35, 0.65))) % n;
    return {
      line: overshoot(bowed(ring[a]!, ring[b]!, random.between(-3, 3)), 0.6),
      widthMm: random.pick([4, 5, 5]),
      kind,
    };
  });
}

/** Old panels are not square and not straight: a skew and smooth shifts of up to a millimetre or two. */
function outOfTrue(random: RandomStream, sizeMm: readonly [number, number]): (p: Point) => Point {
  const slow = [new SmoothNoise(random, 140), new SmoothNoise(random, 140)] as const;
  const quick = [new SmoothNoise(random, 52), new SmoothNoise(random, 52)] as const;
  const skewX = random.between(-0.004, 0.004);
  const skewY = random.between(-0.004, 0.004);
  const [w, h] = sizeMm;
  return ([x, y]) => [
    x + skewX * (y - h / 2) + 0.55 * slow[0].at(x, y) + 0.16 * quick[0].at(x, y),
    y + skewY * (x - w / 2) + 0.55 * slow[1].at(x, y) + 0.16 * quick[1].at(x, y),
  ];
}
