/** From nodes and curves to a lead net that is valid by construction, or a refusal with its place. */
import { positiveUnion, ringsAreaMm2 } from './clip.js';
import { leadCurves } from './curve/lead-curves.js';
import { type Faces, lineOf, startNode, traceFaces, type Walk } from './faces.js';
import { labelPoint } from './label-point.js';
import type {
  DoubtfulPlace,
  DoubtReason,
  FlattenReport,
  Net,
  NetLead,
  NetPiece,
  NetSketch,
  XyMm,
} from './net.js';
import { NetError } from './net-error.js';
import { type Numbering, numberPieces } from './number-pieces.js';
import { insetRings, outsetRing, type WalkEdge } from './offset.js';
import { isInsideRing, pointAlongMm, polylineLengthMm, ringAreaMm2, roundXy } from './ring.js';
import { simplifyLine, simplifyRing } from './simplify.js';
import { type CleanSketch, cleanSketch } from './sketch.js';
import { widthClasses } from './width-classes.js';

export interface BuildNetOptions {
  readonly face: Net['face'];
  readonly layer: Net['layer'];
  readonly surface: Net['surface'];
  /** Thickness of the heart; 1.75 mm covers the usual 1.2 to 1.8 mm (common practice, no source). */
  readonly heartMm?: number;
  /** Air between glass edge and heart on each side; 0.25 mm (common practice, no source). */
  readonly clearanceMm?: number;
  readonly flatten?: FlattenReport | null;
  readonly madeBy: Net['madeBy'];
  /** `leadIndex` is a place in the sketch's leads. */
  readonly doubtfulPlaces?: readonly {
    readonly xyMm: XyMm;
    readonly radiusMm: number;
    readonly reason: DoubtReason;
    readonly leadIndex: number | null;
  }[];
  readonly numbering?: Numbering;
}

/** Stored sight and cut rings leave the computed ones by no more than this. */
const RING_TOLERANCE_MM = 0.01;
/** What is left out of a lead's line before it is moved aside: most of the cost is in its points. */
const BAND_TOLERANCE_MM = 0.005;

/**
 * Builds the net of one panel.
 *
 * Checks, in order: the sketch is whole; leads meet only at nodes; every lead has different pieces
 * on its two sides, unless it is a `strap` (on one face only: it bounds nothing) or `broken`; each
 * piece's ring is simple; the parts hang together or lie inside a piece; V - E + F = 1 + C; the
 * areas of the pieces add up to what the outer leads enclose. The order of nodes and leads in the
 * sketch, and the direction of a line, do not change the answer.
 *
 * Cost: about n log n in the points of the lines, and each piece's ring against itself.
 *
 * @throws {NetError} with the place in the panel where there is one
 */
export function buildNet(sketch: NetSketch, options: BuildNetOptions): Net {
  const heartMm = options.heartMm ?? 1.75;
  const clearanceMm = options.clearanceMm ?? 0.25;
  for (const [name, value] of Object.entries({ heartMm, clearanceMm })) {
    if (!(value >= 0 && value <= 10)) {
      throw new NetError('bad-option', `${name} must be between 0 and 10 mm, got ${value}`);
    }
  }
  const clean = cleanSketch(sketch);
  const { leads, nodes } = clean;
  const isStrap = (i: number) => leads[i]!.kind === 'strap';
  const all = traceFaces(clean, (i) => !isStrap(i));
  checkEuler(all);
  const open = new Set(leads.map((_, i) => i).filter((i) => !isStrap(i) && hasOneFace(all, i)));
  checkOpenLeads(clean, open, isStrap);
  const faces = traceFaces(clean, (i) => !isStrap(i) && !open.has(i));
  const bands: CleanSketch = {
    ...clean,
    leads: leads.map((lead) => ({
      ...lead,
      lineMm: lead.from === lead.to ? lead.lineMm : simplifyLine(lead.lineMm, BAND_TOLERANCE_MM),
    })),
  };
  const { main, inner, holes } = arrange(clean, faces);
  checkAreas(faces, main);

  const pieceOfWalk = new Map(inner.map((walk, at) => [walk, at]));
  holes.forEach((walks, piece) => {
    for (const walk of walks) pieceOfWalk.set(walk, piece);
  });
  const loose = leads.map((lead, i) => {
    if (!isStrap(i) && !open.has(i)) return null;
    const middle = pointAlongMm(lead.lineMm, polylineLengthMm(lead.lineMm) / 2);
    return pieceAt(middle, faces, inner, holes);
  });
  const sideOf = (half: number): number | null => {
    const lead = half >> 1;
    if (isStrap(lead) || open.has(lead)) return loose[lead] ?? null;
    return pieceOfWalk.get(faces.walkOf[half]!) ?? null;
  };

  const classes = widthClasses(
    leads.map(({ faceWidthMm, widthSpreadMm, lineMm }) => ({
      widthMm: faceWidthMm,
      spreadMm: widthSpreadMm,
      lengthMm: polylineLengthMm(lineMm),
    })),
  );
  const degree = nodes.map(() => 0);
  for (const lead of leads) {
    degree[lead.from]!++;
    degree[lead.to]!++;
  }
  const curves = leadCurves(leads, nodes.length);
  const pieceId = (at: number | null) => (at === null ? null : String(at + 1));
  const net: Net = {
    format: 'mullion-net/1',
    face: options.face,
    layer: options.layer,
    surface: options.surface,
    heartMm,
    clearanceMm,
    joints: nodes.map((xyMm, i) => ({ jointId: `J${i + 1}`, xyMm, degree: degree[i]! })),
    leads: leads.map((lead, i): NetLead => {
      const { classIndex, p } = classes.of[i]!;
      return {
        leadId: `L${i + 1}`,
        fromJointId: `J${lead.from + 1}`,
        toJointId: `J${lead.to + 1}`,
        kind: lead.kind,
        lineMm: lead.lineMm,
        curve: curves[i]!,
        faceWidthMm: round(lead.faceWidthMm, 3),
        widthSpreadMm: round(lead.widthSpreadMm, 3),
        widthClassMm: classes.classes[classIndex]!.widthMm,
        widthClassP: p,
        profile: lead.profile ?? null,
        confidenceP: round(lead.confidenceP, 4),
        doubts: lead.doubts,
        leftPieceId: pieceId(sideOf(2 * i + 1)),
        rightPieceId: pieceId(sideOf(2 * i)),
      };
    }),
    pieces: inner.map((at, index): NetPiece => {
      const piece = pieceGeometry(bands, faces, at, holes[index]!, loose, open, index, {
        heartMm,
        clearanceMm,
      });
      return { pieceId: String(index + 1), number: index + 1, part: null, ...piece };
    }),
    outlineMm: outline(bands, faces.walks[main]!),
    widthClasses: classes.classes,
    doubtfulPlaces: (options.doubtfulPlaces ?? []).map(
      ({ xyMm, radiusMm, reason, leadIndex }): DoubtfulPlace => {
        const at = leadIndex === null ? -1 : clean.givenAs.indexOf(leadIndex);
        if (leadIndex !== null && at === -1) {
          throw new NetError('bad-sketch', `a doubtful place names lead ${leadIndex}`, xyMm);
        }
        return {
          xyMm: roundXy(xyMm),
          radiusMm: round(radiusMm, 3),
          reason,
          leadId: at === -1 ? null : `L${at + 1}`,
        };
      },
    ),
    flatten: options.flatten ?? null,
    madeBy: options.madeBy,
  };
  const isGauged = (i: number) => leads[i]!.profile !== undefined;
  return numberPieces(
    net,
    options.numbering,
    net.leads.map((_, i) => isGauged(i)),
  ).net;
}

/** V - E + F = 1 + C, F with the one outside face: says that the traced faces are a plane's. */
function checkEuler({ nodeCount, leadCount, walks, componentCount }: Faces): void {
  const faceCount = walks.length - componentCount + 1;
  if (nodeCount - leadCount + faceCount !== 1 + componentCount) {
    throw new NetError(
      'not-planar',
      `Euler's formula fails: ${nodeCount} joints - ${leadCount} leads + ${faceCount} faces ` +
        `is not 1 + ${componentCount} parts`,
    );
  }
}

function hasOneFace(faces: Faces, lead: number): boolean {
  return faces.walkOf[2 * lead] === faces.walkOf[2 * lead + 1];
}

function checkOpenLeads(
  { nodes, leads }: CleanSketch,
  open: ReadonlySet<number>,
  isStrap: (lead: number) => boolean,
): void {
  const degree = nodes.map(() => 0);
  leads.forEach((lead, i) => {
    if (isStrap(i)) return;
    degree[lead.from]!++;
    degree[lead.to]!++;
  });
  const faulty = [...open].filter((i) => leads[i]!.kind !== 'broken');
  for (const i of faulty) {
    const end = [leads[i]!.from, leads[i]!.to].find((node) => degree[node] === 1);
    if (end !== undefined) {
      throw new NetError(
        'dangling-lead',
        'a lead ends in the glass: join it to another, mark it broken, or erase it',
        nodes[end],
      );
    }
  }
  for (const i of faulty) {
    const { lineMm } = leads[i]!;
    throw new NetError(
      'bridge-lead',
      'a lead has the same piece on both sides: a lead that should close the piece is missing',
      pointAlongMm(lineMm, polylineLengthMm(lineMm) / 2),
    );
  }
}

/** Which walks are pieces, which is the panel's outside, and which parts lie inside which piece. */
function arrange(
  sketch: CleanSketch,
  { walks, componentCount }: Faces,
): { main: number; inner: number[]; holes: number[][] } {
  const inner = walks.map((_, i) => i).filter((i) => walks[i]!.areaMm2 > 0);
  if (inner.length === 0) throw new NetError('no-piece', 'the leads enclose no piece of glass');
  for (const { halfEdges } of walks) {
    const seen = new Set<number>();
    for (const half of halfEdges) {
      const node = startNode(sketch, half);
      if (seen.has(node)) {
        throw new NetError(
          'ring-pinched',
          'a piece touches itself at one joint: a lead is missing beside it',
          sketch.nodes[node],
        );
      }
      seen.add(node);
    }
  }
  const outer = walks.map((_, i) => i).filter((i) => walks[i]!.areaMm2 <= 0);
  if (outer.length !== componentCount) {
    throw new NetError('not-planar', `${componentCount} parts have ${outer.length} outsides`);
  }
  const main = outer.reduce((a, b) => (walks[b]!.areaMm2 < walks[a]!.areaMm2 ? b : a));
  const holes: number[][] = inner.map(() => []);
  for (const island of outer) {
    if (island === main) continue;
    const place = walks[island]!.ringMm[0]!;
    const around = inner
      .map((walk, piece) => ({ walk: walks[walk]!, piece }))
      .filter(
        ({ walk }) =>
          walk.component !== walks[island]!.component && isInsideRing(place, walk.ringMm),
      )
      .sort((a, b) => a.walk.areaMm2 - b.walk.areaMm2)[0];
    if (around === undefined) {
      throw new NetError('separate-parts', 'the drawing falls into separate panels', place);
    }
    holes[around.piece]!.push(island);
  }
  return { main, inner, holes };
}

function checkAreas({ walks }: Faces, main: number): void {
  const enclosed = -walks[main]!.areaMm2;
  let sum = 0;
  walks.forEach((walk, i) => {
    if (i !== main) sum += walk.areaMm2;
  });
  if (Math.abs(sum - enclosed) > 1e-6 * enclosed) {
    throw new NetError(
      'areas-differ',
      `pieces add up to ${sum} mm², the outer leads enclose ${enclosed} mm²`,
    );
  }
}

function pieceAt(
  place: XyMm,
  { walks }: Faces,
  inner: readonly number[],
  holes: readonly (readonly number[])[],
): number | null {
  const at = inner.findIndex(
    (walk, piece) =>
      isInsideRing(place, walks[walk]!.ringMm) &&
      !holes[piece]!.some((hole) => isInsideRing(place, walks[hole]!.ringMm)),
  );
  return at === -1 ? null : at;
}

type PieceGeometry = Omit<NetPiece, 'pieceId' | 'number' | 'part'>;

function pieceGeometry(
  sketch: CleanSketch,
  { walks }: Faces,
  at: number,
  holes: readonly number[],
  loose: readonly (number | null)[],
  open: ReadonlySet<number>,
  index: number,
  { heartMm, clearanceMm }: { heartMm: number; clearanceMm: number },
): PieceGeometry {
  const { leads } = sketch;
  const walk = walks[at]!;
  const inside = leads.map((_, i) => i).filter((i) => loose[i] === index);
  const round = [walk, ...holes.map((hole) => walks[hole]!)];
  const face = (lead: number) => leads[lead]!.faceWidthMm / 2;
  const cut = (lead: number) => (leads[lead]!.kind === 'foil' ? 0 : heartMm / 2) + clearanceMm;
  const sightRings = insetRings([
    ...round.map((one) => walkEdges(sketch, one.halfEdges, face)),
    ...inside
      .filter((lead) => open.has(lead))
      .map((lead) => walkEdges(sketch, [2 * lead, 2 * lead + 1], face)),
  ]).map(tidy);
  const cutRings = insetRings([walkEdges(sketch, walk.halfEdges, cut)]).map(tidy);
  const cutRing = cutRings.reduce<XyMm[]>(
    (best, ring) => (ringAreaMm2(ring) > ringAreaMm2(best) ? ring : best),
    [],
  );
  const label = labelPoint(sightRings.length > 0 ? sightRings : round.map((one) => one.ringMm));
  const bounding = round.flatMap((one) => one.halfEdges.map((half) => half >> 1));
  const leadIds = [...new Set([...bounding, ...inside])].sort((a, b) => a - b);
  return {
    centreRingMm: walk.ringMm,
    ...(holes.length > 0 && { holeRingsMm: holes.map((hole) => walks[hole]!.ringMm) }),
    sightRingsMm: sightRings,
    cutRingMm: cutRing,
    areaMm2: roundTo(ringsAreaMm2(round.map((one) => one.ringMm))),
    sightAreaMm2: roundTo(ringsAreaMm2(sightRings)),
    leadIds: leadIds.map((lead) => `L${lead + 1}`),
    labelMm: roundXy(label.xyMm),
    labelRadiusMm: round3(label.radiusMm),
  };
}

function walkEdges(
  sketch: CleanSketch,
  halfEdges: readonly number[],
  byMm: (lead: number) => number,
): WalkEdge[] {
  return halfEdges.flatMap((half) => {
    const line = lineOf(sketch, half);
    const by = byMm(half >> 1);
    return line.slice(1).map((to, i): WalkEdge => ({ from: line[i]!, to, byMm: by }));
  });
}

function outline(sketch: CleanSketch, outside: Walk): XyMm[] {
  // The outside walk is negative; walked back it is the positive ring of the outer centre lines.
  const back = outside.halfEdges.toReversed().map((half) => half ^ 1);
  const rings = outsetRing(walkEdges(sketch, back, (lead) => sketch.leads[lead]!.faceWidthMm / 2));
  const largest = (list: XyMm[][]) =>
    list.reduce((a, b) => (ringAreaMm2(b) > ringAreaMm2(a) ? b : a));
  // Where face widths change, edges a few hundredths long are left over; thinned and rounded, they
  // can cross or touch each other. Joined once more and cut at what touches, the ring is simple.
  return fromTopLeft(withoutLoops(largest(positiveUnion([tidy(largest(rings))])).map(roundXy)));
}

/** The ring with every loop that hangs on it by one vertex cut off; the larger part stays. */
function withoutLoops(ring: readonly XyMm[]): XyMm[] {
  const seen = new Map<string, number>();
  for (let i = 0; i < ring.length; i++) {
    const before = seen.get(String(ring[i]));
    if (before !== undefined) {
      const loop = ring.slice(before, i);
      const rest = [...ring.slice(0, before), ...ring.slice(i)];
      return withoutLoops(ringAreaMm2(loop) > ringAreaMm2(rest) ? loop : rest);
    }
    seen.set(String(ring[i]), i);
  }
  return [...ring];
}

/** Stored form of a computed ring. */
function tidy(ring: readonly XyMm[]): XyMm[] {
  return simplifyRing(fromTopLeft(ring), RING_TOLERANCE_MM).map(roundXy);
}

/** The ring from its top left vertex on, whatever the clipper began with. */
function fromTopLeft(ring: readonly XyMm[]): XyMm[] {
  const first = ring.reduce(
    (best, [x, y], i) => (y + x < ring[best]![1] + ring[best]![0] ? i : best),
    0,
  );
  return [...ring.slice(first), ...ring.slice(0, first)];
}

function round(value: number, digits: number): number {
  const scale = 10 ** digits;
  return Math.round(value * scale) / scale + 0;
}

function round3(value: number): number {
  return round(value, 3);
}

function roundTo(areaMm2: number): number {
  return round(areaMm2, 2);
}
