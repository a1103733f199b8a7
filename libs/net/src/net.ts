/**
 * The lead net of one panel: the planar graph of leads and pieces, in millimetres.
 *
 * Frame: as seen from inside, x right, y down, origin at the outer corner top left of the first
 * signed drawing. Points are `[x, y]` pairs so that the JSON is readable without this program.
 * Built only by {@link buildNet}, which makes it valid by construction: planar, every face closed,
 * Euler's formula holds, no dangling lead unless it is marked `broken`.
 */

import type { FlattenReport } from './flatten-report.js';

export type { FlattenReport, MarkFigure } from './flatten-report.js';

export type XyMm = readonly [xMm: number, yMm: number];

/** What a lead is. `outer`: round the panel's edge. `strap`: on one face only, the piece stays one. */
export type LeadKind = 'came' | 'outer' | 'mending' | 'strap' | 'foil' | 'broken';

/** Why a person should look at a lead before the drawing is signed. */
export type DoubtReason =
  | 'gap-bridged'
  | 'weak-wax'
  | 'width-uneven'
  | 'runs-disagree'
  | 'junction-unclear'
  | 'may-be-missing';

/**
 * One part of a fitted curve; it begins where the part before it ends. `clockwise` as it looks on
 * the drawing (y down): the angle from +x towards +y grows.
 */
export type CurvePart =
  | { readonly kind: 'line'; readonly toMm: XyMm }
  | {
      readonly kind: 'arc';
      readonly toMm: XyMm;
      readonly centreMm: XyMm;
      readonly clockwise: boolean;
    }
  | { readonly kind: 'cubic'; readonly c1Mm: XyMm; readonly c2Mm: XyMm; readonly toMm: XyMm };

/**
 * Section of a came as a gauge gives it at a cut end. `H`: glass on both sides of the heart; `U`:
 * on one, the heart is the back and lies at the outer edge of the face.
 */
export interface CameProfile {
  readonly name: string;
  readonly shape: 'H' | 'U';
  readonly leaf: 'flat' | 'round';
  readonly faceMm: number;
  /** Thickness of a leaf; of a round one at its crown. */
  readonly leafMm: number;
  /** Thickness of a round leaf at its edge. */
  readonly leafEdgeMm?: number;
  /** Between the two leaves: what the glass goes into. */
  readonly heartHeightMm: number;
  /** Thickness of the heart, of the back of a `U`. */
  readonly heartMm: number;
}

export interface NetJoint {
  readonly jointId: string; // 'J4'
  readonly xyMm: XyMm;
  /** Number of leads that end here; 2 is a bend of one lead, 1 an open end. */
  readonly degree: number;
}

export interface NetLead {
  readonly leadId: string; // 'L12'
  readonly fromJointId: string;
  readonly toJointId: string;
  readonly kind: LeadKind;
  /** Centre line from joint to joint, both ends included, fitted to 0.15 mm or better. */
  readonly lineMm: readonly XyMm[];
  /**
   * The same line as few lines, arcs and cubic Béziers, from its first point on, within 0.15 mm;
   * smooth inside, and across a joint that the lead runs through. Absent in nets stored without.
   */
  readonly curve?: readonly CurvePart[];
  readonly faceWidthMm: number;
  /** Half the 16-84 percentile range of the width along the lead. */
  readonly widthSpreadMm: number;
  /** Nominal face of the width class that this lead was put into, and how sure that is (0-1). */
  readonly widthClassMm: number;
  readonly widthClassP: number;
  /** From a gauge reading at a cut end; a rubbing never tells it. */
  readonly profile: string | null;
  /** Probability that this lead is there and runs as drawn. */
  readonly confidenceP: number;
  readonly doubts: readonly DoubtReason[];
  /** Piece on the left and right of the direction of travel (y down); null is outside the panel. */
  readonly leftPieceId: string | null;
  readonly rightPieceId: string | null;
}

export interface NetPiece {
  /** Key inside this net; equals the number's text when numbered: '17', '17a'. */
  readonly pieceId: string;
  readonly number: number;
  readonly part: string | null;
  /** Closed ring along the lead centre lines (closing edge implied), positive orientation as drawn. */
  readonly centreRingMm: readonly XyMm[];
  /** Rings (negative) round leads that lie inside this piece unconnected to the rest; rare. */
  readonly holeRingsMm?: readonly (readonly XyMm[])[];
  /**
   * Glass seen between the leads; more than one ring when a lead pinches it. Positive rings are
   * outsides, negative ones holes. Strap leads lie on one face only and take nothing away.
   */
  readonly sightRingsMm: readonly (readonly XyMm[])[];
  /**
   * As cut, into the heart: half `heartMm` and `clearanceMm` inside the centre lines (foil: the
   * clearance alone). Empty when nothing is left.
   */
  readonly cutRingMm: readonly XyMm[];
  /** Inside the centre lines, holes taken off. */
  readonly areaMm2: number;
  readonly sightAreaMm2: number;
  readonly leadIds: readonly string[];
  /** Where to write the number: the point farthest from the edge, and its distance. */
  readonly labelMm: XyMm;
  readonly labelRadiusMm: number;
}

export interface DoubtfulPlace {
  readonly xyMm: XyMm;
  readonly radiusMm: number;
  readonly reason: DoubtReason;
  readonly leadId: string | null;
}

export interface Net {
  readonly format: 'mullion-net/1';
  readonly face: 'inside' | 'outside';
  readonly layer: 'front' | 'back';
  readonly surface: 'developed' | 'plan';
  readonly heartMm: number;
  readonly clearanceMm: number;
  /** Sections that were gauged, named by the leads' `profile`. */
  readonly profiles?: readonly CameProfile[];
  readonly joints: readonly NetJoint[];
  readonly leads: readonly NetLead[];
  readonly pieces: readonly NetPiece[];
  /** Outer edge of the panel over the outer leads. */
  readonly outlineMm: readonly XyMm[];
  readonly widthClasses: readonly {
    widthMm: number;
    lengthMm: number;
    leads: number;
    kind?: 'foil';
  }[];
  readonly doubtfulPlaces: readonly DoubtfulPlace[];
  readonly flatten: FlattenReport | null;
  /** Name and version of the function that made it, and its parameters. */
  readonly madeBy: { readonly name: string; readonly version: string };
}

/** What an extractor or an editor hands to {@link buildNet}: nodes and curves, no faces yet. */
export interface NetSketch {
  readonly nodes: readonly { readonly xyMm: XyMm }[];
  readonly leads: readonly SketchLead[];
}

export interface SketchLead {
  readonly from: number; // index into nodes
  readonly to: number;
  readonly kind: LeadKind;
  /** Both ends included and equal to the nodes' places. */
  readonly lineMm: readonly XyMm[];
  readonly faceWidthMm: number;
  readonly widthSpreadMm: number;
  /** Gauged profile; null: not measured; absent: as the earlier drawing has it. */
  readonly profile?: string | null;
  readonly confidenceP: number;
  readonly doubts: readonly DoubtReason[];
}
