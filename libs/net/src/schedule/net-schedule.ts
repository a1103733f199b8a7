/** What the bench needs of a panel: came, joints, glass and weights, as one value. */
import { drawingWords } from '../drawing-words.js';
import type { Net, XyMm } from '../net.js';
import { boundsMm } from '../ring.js';
import { type CameNeed, cameNeeds, type NeedOptions } from './came-needs.js';
import { type CameRun, cameRuns } from './came-runs.js';
import { type FoilProposal, foilProposals } from './foil.js';
import {
  cutAreaMm2,
  GLASS_G_CM3,
  type GlassLayers,
  glassGrams,
  LEAD_G_CM3,
  leadWeight,
  type SolderEstimate,
  type SolderOptions,
  solderEstimate,
  USUAL_GLASS_MM,
} from './weights.js';

/** A width of the drawing whose section was gauged at a cut end. */
export interface GaugedWidth {
  readonly kind: string;
  readonly widthClassMm: number;
  /** of the section: its name, and its face as the gauge gives it */
  readonly profile: { readonly name: string; readonly faceMm: number };
  /** day of the reading, EDTF */
  readonly on: string;
}

export interface ScheduleOptions extends NeedOptions {
  /** The first of a kind and width counts. */
  readonly gauged?: readonly GaugedWidth[];
  /** For all pieces that are not named in `pieces`. */
  readonly glass?: GlassLayers;
  readonly pieces?: Readonly<Record<string, GlassLayers>>;
  readonly solder?: SolderOptions;
}

export interface PieceRow {
  readonly pieceId: string;
  readonly cutSizeMm: XyMm | null;
  readonly sightSizeMm: XyMm | null;
  readonly cutAreaMm2: number;
  readonly sightAreaMm2: number;
  readonly areaMm2: number;
  readonly layersMm: readonly number[];
  readonly grams: number;
  readonly leads: number;
}

export interface NetSchedule {
  readonly format: 'mullion-schedule/1';
  /** Side, face, layer, developed or plan. */
  readonly drawing: readonly string[];
  readonly wasteRatio: number;
  /** `gauged`: null where the width is known from the drawing alone. */
  readonly came: readonly (CameNeed & { readonly gauged: GaugedWidth | null })[];
  readonly runs: readonly CameRun[];
  readonly joints: {
    readonly soldered: number;
    /** How many joints have how many leads. */
    readonly byDegree: readonly { readonly degree: number; readonly count: number }[];
    readonly solder: SolderEstimate;
  };
  readonly pieces: readonly PieceRow[];
  readonly grams: {
    readonly glass: number;
    readonly lead: number;
    readonly solder: number;
    readonly total: number;
    /** Share of the lead's length whose section was gauged. */
    readonly gaugedRatio: number;
  };
  readonly foil: readonly FoilProposal[];
  /** What was taken for granted, in sentences. */
  readonly assumptions: readonly string[];
}

export function netSchedule(net: Net, options: ScheduleOptions = {}): NetSchedule {
  const wasteRatio = options.wasteRatio ?? 0.1;
  const pieces = net.pieces.map((piece): PieceRow => {
    const layers = options.pieces?.[piece.pieceId] ?? options.glass ?? {};
    const cut = cutAreaMm2(piece.cutRingMm);
    return {
      pieceId: piece.pieceId,
      cutSizeMm: sizeMm(piece.cutRingMm),
      sightSizeMm: sizeMm(piece.sightRingsMm.flat()),
      cutAreaMm2: cut,
      sightAreaMm2: piece.sightAreaMm2,
      areaMm2: piece.areaMm2,
      layersMm: layers.layersMm ?? [USUAL_GLASS_MM],
      grams: glassGrams(cut, layers),
      leads: piece.leadIds.length,
    };
  });
  let lead = 0;
  let gauged = 0;
  let all = 0;
  for (const one of net.leads) {
    const { grams, lengthMm, isGauged } = leadWeight(one, net);
    lead += grams;
    all += lengthMm;
    if (isGauged) gauged += lengthMm;
  }
  const solder = solderEstimate(net, options.solder);
  const glass = pieces.reduce((sum, piece) => sum + piece.grams, 0);
  const degrees = new Map<number, number>();
  for (const { degree } of net.joints) degrees.set(degree, (degrees.get(degree) ?? 0) + 1);
  return {
    format: 'mullion-schedule/1',
    drawing: drawingWords(net),
    wasteRatio,
    came: cameNeeds(net, options).map((need) => ({
      ...need,
      gauged:
        options.gauged?.find(
          ({ kind, widthClassMm }) => kind === need.kind && widthClassMm === need.widthClassMm,
        ) ?? null,
    })),
    runs: cameRuns(net),
    joints: {
      soldered: solder.joints,
      byDegree: [...degrees]
        .sort(([a], [b]) => a - b)
        .map(([degree, count]) => ({ degree, count })),
      solder,
    },
    pieces,
    grams: {
      glass,
      lead,
      solder: solder.grams,
      total: glass + lead + solder.grams,
      gaugedRatio: all === 0 ? 0 : gauged / all,
    },
    foil: foilProposals(net).filter(({ foilP }) => foilP >= 0.5),
    assumptions: [
      'Lengths of came are those of centre lines, joint to joint; what butts against another came is cut shorter.',
      `Waste of ${Math.round(wasteRatio * 100)} % for offcuts: common practice, no source.`,
      `Glass: area as cut × thickness × ${options.glass?.densityGCm3 ?? GLASS_G_CM3} g/cm³ (soda-lime, EN 572-1, from memory); ${(options.glass?.layersMm ?? [USUAL_GLASS_MM]).join(' + ')} mm where nothing else is said. Folded and slumped glass is weighed, not reckoned.`,
      `Lead: section × ${LEAD_G_CM3} g/cm³. Not gauged: a flat H of the width class, leaf 1.0 mm, heart 4.8 × ${net.heartMm} mm (common practice, no source).`,
      `Solder: ${solder.formula}.`,
      'Cement, bars and ties are not in the weight. Lift with two people on the true weight, glass on edge.',
    ],
  };
}

/** Joints that are soldered: where three or more leads meet. */
export function solderJointCount(net: Net): number {
  return net.joints.filter((joint) => joint.degree >= 3).length;
}

/** Width and height, to half a millimetre: never finer than a rubbing measures. */
function sizeMm(points: readonly XyMm[]): XyMm | null {
  if (points.length === 0) return null;
  const { minX, maxX, minY, maxY } = boundsMm(points);
  const half = (value: number) => Math.round(value * 2) / 2;
  return [half(maxX - minX), half(maxY - minY)];
}
