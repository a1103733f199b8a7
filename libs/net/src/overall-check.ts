/**
 * The drawing beside the panel: overall size and both diagonals as measured on the panel itself, against the same in the
 * drawing. A check that owes nothing to the marks on the sheet.
 */
import type { Net, XyMm } from './net.js';
import { boundsMm, distanceMm, ringAreaMm2 } from './ring.js';

/** Measured on the panel over the outer leads, seen from inside; what was not measured is left out. */
export interface OverallMeasured {
  readonly widthMm?: number;
  readonly heightMm?: number;
  /** Top left to bottom right. */
  readonly diagonal1Mm?: number;
  /** Top right to bottom left. */
  readonly diagonal2Mm?: number;
}

export type OverallVerdict = 'agrees' | 'differs' | 'not-comparable';

export interface OverallLength {
  readonly key: 'width' | 'height' | 'diagonal1' | 'diagonal2';
  readonly measuredMm: number;
  /** Null where the panel has no such length in the drawing, as the diagonals of a round one. */
  readonly drawnMm: number | null;
  /** Drawn less measured. */
  readonly differenceMm: number | null;
  /** How much they may differ by what is known of tape and scale, two standard deviations. */
  readonly limitMm: number;
  readonly verdict: OverallVerdict;
  readonly sentence: string;
}

export interface OverallCheck {
  readonly lengths: readonly OverallLength[];
  readonly verdict: OverallVerdict;
  readonly sentence: string;
}

/** A tape is read to half a millimetre, and the panel's edge is no knife edge: common practice, no source. */
const TAPE_SIGMA_MM = 0.5;
/** Where the drawing does not say how sure its scale is. */
const UNSTATED_SCALE_SIGMA = 0.001;
/** Its four extreme points span this much of it at least: they are its corners. */
const RECTANGULAR = 0.97;

const SAID = {
  width: 'The width',
  height: 'The height',
  diagonal1: 'The diagonal from top left',
  diagonal2: 'The diagonal from top right',
} as const;

/**
 * Per measured length what the drawing has, the difference and a verdict, and one sentence for all.
 * Lengths of zero or less are passed over as not measured.
 */
export function overallCheck(net: Net, measured: OverallMeasured): OverallCheck {
  const drawn = overallLengthsMm(net.outlineMm);
  const scale = net.flatten?.scale;
  const relative = scale ? scale.plusMinusMm / scale.overMm : UNSTATED_SCALE_SIGMA;
  const keys = ['width', 'height', 'diagonal1', 'diagonal2'] as const;
  const lengths = keys.flatMap((key): OverallLength[] => {
    const measuredMm = measured[`${key}Mm`];
    if (measuredMm === undefined || !(measuredMm > 0)) return [];
    const limitMm = 2 * Math.hypot(TAPE_SIGMA_MM, relative * measuredMm);
    const drawnMm = drawn[key];
    if (drawnMm === null) {
      return [
        {
          key,
          measuredMm,
          drawnMm,
          differenceMm: null,
          limitMm,
          verdict: 'not-comparable',
          sentence: `${SAID[key]} cannot be compared: the panel is not four-cornered.`,
        },
      ];
    }
    const differenceMm = drawnMm - measuredMm;
    const agrees = Math.abs(differenceMm) <= limitMm;
    return [
      {
        key,
        measuredMm,
        drawnMm,
        differenceMm,
        limitMm,
        verdict: agrees ? 'agrees' : 'differs',
        sentence: agrees
          ? `${SAID[key]} agrees: ${drawnMm.toFixed(1)} mm drawn, ${measuredMm.toFixed(1)} mm measured.`
          : `${SAID[key]} is ${Math.abs(differenceMm).toFixed(1)} mm ${differenceMm > 0 ? 'longer' : 'shorter'} in the drawing than on the panel (${drawnMm.toFixed(1)} against ${measuredMm.toFixed(1)} mm).`,
      },
    ];
  });
  return { lengths, ...verdictOf(lengths) };
}

function verdictOf(lengths: readonly OverallLength[]): {
  verdict: OverallVerdict;
  sentence: string;
} {
  const compared = lengths.filter((l) => l.differenceMm !== null);
  if (compared.length === 0) {
    return {
      verdict: 'not-comparable',
      sentence: 'Nothing measured on the panel can be compared with the drawing.',
    };
  }
  const off = compared.filter((l) => l.verdict === 'differs');
  if (off.length === 0) {
    const most = Math.max(...compared.map((l) => Math.abs(l.differenceMm!)));
    return {
      verdict: 'agrees',
      sentence: `The drawing agrees with the panel: ${compared.length === 1 ? 'one length' : `${compared.length} lengths`} within ${most.toFixed(1)} mm.`,
    };
  }
  const ratios = compared.map((l) => l.differenceMm! / l.measuredMm);
  const mean = ratios.reduce((s, r) => s + r, 0) / ratios.length;
  // what is left of each length once all are scaled alike
  const isScale =
    compared.length > 1 &&
    compared.every((l) => Math.abs(l.differenceMm! - mean * l.measuredMm) <= l.limitMm);
  if (isScale) {
    return {
      verdict: 'differs',
      sentence: `The whole drawing is ${(Math.abs(mean) * 100).toFixed(2)} % too ${mean > 0 ? 'large' : 'small'}: check the distances or the ruler that its scale was taken from.`,
    };
  }
  const [one, two] = (['diagonal1', 'diagonal2'] as const).map((key) =>
    off.find((l) => l.key === key),
  );
  if (off.length === 2 && one && two && one.differenceMm! * two.differenceMm! < 0) {
    return {
      verdict: 'differs',
      sentence:
        'The sides agree and the diagonals do not: the drawing leans. Check the marks’ places, or whether the panel moved since it was rubbed.',
    };
  }
  const worst = off.reduce((a, b) =>
    Math.abs(b.differenceMm!) / b.limitMm > Math.abs(a.differenceMm!) / a.limitMm ? b : a,
  );
  return {
    verdict: 'differs',
    sentence: `${worst.sentence} Measure it again on the panel; if it holds, check the marks.`,
  };
}

interface OverallDrawn {
  readonly width: number;
  readonly height: number;
  readonly diagonal1: number | null;
  readonly diagonal2: number | null;
}

/**
 * Size along the panel's own sides and both diagonals. Of a panel that fills its box, from corner to corner, opposite
 * sides averaged; of any other shape the box along the drawing's axes, without diagonals.
 */
function overallLengthsMm(outline: readonly XyMm[]): OverallDrawn {
  const corners = cornersOf(outline);
  if (!corners) {
    const box = boundsMm(outline);
    return {
      width: box.maxX - box.minX,
      height: box.maxY - box.minY,
      diagonal1: null,
      diagonal2: null,
    };
  }
  const [a, b, c, d] = corners;
  return {
    width: (distanceMm(a, b) + distanceMm(d, c)) / 2,
    height: (distanceMm(a, d) + distanceMm(b, c)) / 2,
    diagonal1: distanceMm(a, c),
    diagonal2: distanceMm(b, d),
  };
}

/** Top left, top right, bottom right, bottom left; undefined when they do not span nearly all of the panel. */
function cornersOf(outline: readonly XyMm[]): readonly [XyMm, XyMm, XyMm, XyMm] | undefined {
  const far = (sx: number, sy: number): XyMm =>
    outline.reduce((p, q) => (sx * q[0] + sy * q[1] > sx * p[0] + sy * p[1] ? q : p));
  const corners = [far(-1, -1), far(1, -1), far(1, 1), far(-1, 1)] as const;
  const spanned = Math.abs(ringAreaMm2(corners));
  return spanned > RECTANGULAR * Math.abs(ringAreaMm2(outline)) && isSquarish(corners)
    ? corners
    : undefined;
}

/** A circle or a pointed head has extreme points too; at them the outline does not turn by about a right angle. */
function isSquarish(corners: readonly XyMm[]): boolean {
  return corners.every((p, k) => {
    const before = corners[(k + 3) % 4]!;
    const after = corners[(k + 1) % 4]!;
    const [ux, uy] = [before[0] - p[0], before[1] - p[1]];
    const [vx, vy] = [after[0] - p[0], after[1] - p[1]];
    const cosine = (ux * vx + uy * vy) / (Math.hypot(ux, uy) * Math.hypot(vx, vy));
    return Math.abs(cosine) < 0.35;
  });
}
