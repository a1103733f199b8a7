/** The curves that the drawing's files are made of. */
import type { Net, NetLead, NetPiece, XyMm } from '../net.js';
import { boundsMm } from '../ring.js';
import { type Curve, placeCurve } from './curve-parts.js';
import { fitRing } from './fit-curve.js';

/** Edges of glass in files leave the stored rings by no more than this. */
export const EDGE_TOLERANCE_MM = 0.05;

/** A lead's centre line; of a net stored without curves, chord by chord. */
export function leadCurve({ lineMm, curve }: Pick<NetLead, 'lineMm' | 'curve'>): Curve {
  return {
    fromMm: lineMm[0]!,
    parts: curve ?? lineMm.slice(1).map((toMm) => ({ kind: 'line' as const, toMm })),
  };
}

/** All of a drawing as curves, each fitted when first read; closed ones end where they begin. */
export interface NetCurves {
  readonly outline: Curve;
  /** In the order of the net's leads. */
  readonly leads: readonly Curve[];
  /** In the order of the net's pieces: the rings seen, and as cut (null: nothing is left). */
  readonly sight: readonly (readonly Curve[])[];
  readonly cut: readonly (Curve | null)[];
  readonly labelsMm: readonly XyMm[];
}

/**
 * @param options.mirrored turned over left to right about its own middle, for work from outside
 */
export function netCurves(net: Net, options: { readonly mirrored?: boolean } = {}): NetCurves {
  const isMirror = options.mirrored === true;
  const box = boundsMm(net.outlineMm);
  const over = ([x, y]: XyMm): XyMm => [box.minX + box.maxX - x, y];
  const placed = (curve: Curve) => (isMirror ? placeCurve(curve, over, true) : curve);
  const ring = (points: readonly XyMm[]) => placed(fitRing(points, EDGE_TOLERANCE_MM));
  const cut = ({ cutRingMm }: NetPiece) => (cutRingMm.length < 3 ? null : ring(cutRingMm));
  const once = <T>(make: () => T) => {
    let made: { value: T } | undefined;
    return () => (made ??= { value: make() }).value;
  };
  // Fitting is most of the work of a file, and no file needs all of it.
  const outline = once(() => ring(net.outlineMm));
  const leads = once(() => net.leads.map((lead) => placed(leadCurve(lead))));
  const sight = once(() => net.pieces.map((piece) => piece.sightRingsMm.map(ring)));
  const cuts = once(() => net.pieces.map(cut));
  return {
    get outline() {
      return outline();
    },
    get leads() {
      return leads();
    },
    get sight() {
      return sight();
    },
    get cut() {
      return cuts();
    },
    labelsMm: net.pieces.map(({ labelMm }) => (isMirror ? over(labelMm) : labelMm)),
  };
}
