/** Leads that bound nothing, run double, or lie outside the panel are taken out, and a person is told. */
import { traceFaces } from '../faces.js';
import type { SketchLead, XyMm } from '../net.js';
import { isInsideRing, pointAlongMm, polylineLengthMm, ringLengthMm } from '../ring.js';
import type { CleanSketch } from '../sketch.js';
import type { CartoonRepair } from './cartoon.js';
import { HERE } from './say-place.js';

/** Leads to take out, and what is said of each; null where it was said of another. */
type Gone = Map<number, CartoonRepair | null>;

/** Straps lie on one face and broken leads end free: neither bounds a piece. */
export const bounds = ({ kind }: Pick<SketchLead, 'kind'>): boolean =>
  kind !== 'strap' && kind !== 'broken';

/** Leads with the same face on both sides. */
export function bridges(sketch: CleanSketch): Gone {
  const { walkOf } = traceFaces(sketch, (i) => bounds(sketch.leads[i]!));
  const gone: Gone = new Map();
  sketch.leads.forEach((lead, i) => {
    if (!bounds(lead) || walkOf[2 * i] !== walkOf[2 * i + 1]) return;
    gone.set(
      i,
      repair(
        'dangling-end',
        lead,
        (mm) => `A line of ${mm} ${HERE} has the same piece on both sides: left out.`,
      ),
    );
  });
  return gone;
}

/** Of two leads that run beside each other, nearer than the tolerance, the longer. */
export function doubles(sketch: CleanSketch, toleranceMm: number): Gone {
  const { walks } = traceFaces(sketch, (i) => bounds(sketch.leads[i]!));
  const gone: Gone = new Map();
  for (const { halfEdges, ringMm, areaMm2 } of walks) {
    // mean width of a long thin face
    if (areaMm2 <= 0 || (2 * areaMm2) / ringLengthMm(ringMm) >= toleranceMm) continue;
    const sides = [...new Set(halfEdges.map((half) => half >> 1))];
    if (sides.length < 2 || sides.some((lead) => gone.has(lead))) continue;
    const lengthOf = (lead: number) => polylineLengthMm(sketch.leads[lead]!.lineMm);
    const longest = sides.reduce((a, b) => (lengthOf(b) > lengthOf(a) ? b : a));
    gone.set(
      longest,
      repair(
        'overlap-dropped',
        sketch.leads[longest]!,
        (mm) => `Two lines ran beside each other over ${mm} ${HERE}: one was kept.`,
      ),
    );
  }
  return gone;
}

/** Leads of parts that lie outside the largest one. */
export function outside(sketch: CleanSketch): Gone {
  const faces = traceFaces(sketch, (i) => bounds(sketch.leads[i]!));
  const rims = faces.walks.filter(({ areaMm2 }) => areaMm2 <= 0);
  const main = rims.reduce<(typeof rims)[number] | null>(
    (a, b) => (a === null || b.areaMm2 < a.areaMm2 ? b : a),
    null,
  );
  const gone: Gone = new Map();
  if (main === null) return gone;
  const componentOf = new Map(
    faces.walks.flatMap(({ halfEdges, component }) =>
      halfEdges.map((half) => [half >> 1, component] as const),
    ),
  );
  const parts = new Map<number | undefined, number[]>();
  sketch.leads.forEach((lead, i) => {
    const component = componentOf.get(i);
    if (component === main.component || isInsideRing(middleOf(lead), main.ringMm)) return;
    parts.set(component, [...(parts.get(component) ?? []), i]);
  });
  for (const part of parts.values()) {
    const [first] = part;
    const total = part.reduce((sum, i) => sum + polylineLengthMm(sketch.leads[i]!.lineMm), 0);
    for (const i of part) gone.set(i, null);
    gone.set(first!, {
      kind: 'outside-dropped',
      sentence: `Lines of ${total.toFixed(1)} mm ${HERE} lie outside the panel: left out.`,
      xyMm: middleOf(sketch.leads[first!]!),
    });
  }
  return gone;
}

/** Leads of the panel's own edge. */
export function rimLeads(sketch: CleanSketch): Set<number> {
  const { walks } = traceFaces(sketch, (i) => bounds(sketch.leads[i]!));
  const rim = walks
    .filter(({ areaMm2 }) => areaMm2 <= 0)
    .reduce<(typeof walks)[number] | null>(
      (a, b) => (a === null || b.areaMm2 < a.areaMm2 ? b : a),
      null,
    );
  return new Set(rim === null ? [] : rim.halfEdges.map((half) => half >> 1));
}

function repair(
  kind: CartoonRepair['kind'],
  lead: SketchLead,
  sentence: (length: string) => string,
): CartoonRepair {
  return {
    kind,
    sentence: sentence(`${polylineLengthMm(lead.lineMm).toFixed(1)} mm`),
    xyMm: middleOf(lead),
  };
}

function middleOf({ lineMm }: SketchLead): XyMm {
  return pointAlongMm(lineMm, polylineLengthMm(lineMm) / 2);
}
