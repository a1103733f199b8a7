/** From nodes and curves to a lead net that is valid by construction, or a refusal with its place. */
import { arrange, checkAreas, pieceAt } from './arrange-faces.js';
import { leadCurves } from './curve/lead-curves.js';
import { cutInset } from './cut-inset.js';
import { type Faces, traceFaces } from './faces.js';
import type {
  CameProfile,
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
import { outlineOf, pieceGeometry } from './piece-geometry.js';
import { pointAlongMm, polylineLengthMm, roundXy } from './ring.js';
import { round } from './rounding.js';
import { simplifyLine } from './simplify.js';
import { type CleanSketch, cleanSketch } from './sketch.js';
import { type WidthClasses, widthClasses } from './width-classes.js';

export interface BuildNetOptions {
  readonly face: Net['face'];
  readonly layer: Net['layer'];
  readonly surface: Net['surface'];
  /** Thickness of the heart; 1.75 mm covers the usual 1.2 to 1.8 mm (common practice, no source). */
  readonly heartMm?: number;
  /** Air between glass edge and heart on each side; 0.25 mm (common practice, no source). */
  readonly clearanceMm?: number;
  /** Sections that were gauged; the earlier drawing's when absent. A lead names its own. */
  readonly profiles?: readonly CameProfile[];
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
  const profiles = options.profiles ?? options.numbering?.earlier?.profiles ?? [];
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

  const cut = (i: number) => cutInset(leads[i]!, { heartMm, clearanceMm, profiles });
  const classes = leadClasses(leads);
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
    ...(profiles.length > 0 && { profiles }),
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
      const piece = pieceGeometry(bands, faces, at, holes[index]!, loose, open, index, cut);
      return { pieceId: String(index + 1), number: index + 1, part: null, ...piece };
    }),
    outlineMm: outlineOf(bands, faces.walks[main]!),
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
  const said = leads.map(({ profile }) => profile !== undefined);
  const numbered = numberPieces(net, options.numbering, said).net;
  // A section that the earlier drawing knew of a lead changes what is cut beside it.
  const taken = new Map(numbered.leads.map(({ lineMm, profile }) => [lineMm, profile]));
  const isNews = (i: number) =>
    !said[i] && profiles.some(({ name }) => name === taken.get(leads[i]!.lineMm));
  if (!leads.some((_, i) => isNews(i))) return numbered;
  const withProfiles = [...sketch.leads];
  clean.givenAs.forEach((given, i) => {
    const profile = taken.get(leads[i]!.lineMm) ?? null;
    withProfiles[given] = { ...sketch.leads[given]!, profile };
  });
  return buildNet({ ...sketch, leads: withProfiles }, options);
}

/** Foil is no came: its widths are classes of their own, whatever came is as narrow. */
function leadClasses(leads: CleanSketch['leads']): WidthClasses {
  const measured = leads.map(({ faceWidthMm, widthSpreadMm, lineMm }) => ({
    widthMm: faceWidthMm,
    spreadMm: widthSpreadMm,
    lengthMm: polylineLengthMm(lineMm),
  }));
  const isFoil = leads.map(({ kind }) => kind === 'foil');
  const came = widthClasses(measured.filter((_, i) => !isFoil[i]));
  const foil = widthClasses(measured.filter((_, i) => isFoil[i]));
  let cames = 0;
  let foils = 0;
  return {
    classes: [...came.classes, ...foil.classes.map((one) => ({ ...one, kind: 'foil' as const }))],
    of: isFoil.map((yes) => {
      if (!yes) return came.of[cames++]!;
      const { classIndex, p } = foil.of[foils++]!;
      return { classIndex: classIndex + came.classes.length, p };
    }),
  };
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
