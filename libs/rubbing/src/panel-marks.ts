/** Places of the marks in panel millimetres, from what was measured. */
import { solve } from './homography.js';
import { RubbingError } from './rubbing-error.js';
import type { RubbingControl } from './sheet.js';

export interface PanelMarks {
  readonly names: readonly string[];
  /** Flat x0,y0,…, in the order of the taps. */
  readonly xyMm: Float64Array;
  /** How far each place may be off before anything is measured in the picture, one sigma. */
  readonly sigmaMm: number;
  /** Misfit of the measured distances per mark, where they are more than needed. */
  readonly tapeResidualMm: Float64Array;
}

/** Standard deviation of a tape reading; the design states ± 0.5 mm for a tape. */
const TAPE_SIGMA_MM = 0.5;

/**
 * @param px marks in pixels without lens distortion, flat; decides the shape where the control leaves it open
 * @throws RubbingError 'marks-too-few', 'marks-disagree', 'marks-coincident'
 */
export function panelMarks(control: RubbingControl, px: ArrayLike<number>): PanelMarks {
  switch (control.kind) {
    case 'control_points': {
      const n = control.points.length;
      if (n < 4) {
        throw new RubbingError(
          'marks-too-few',
          `Flattening needs four marks at known places, got ${n}: draw and measure ${4 - n} more.`,
          { marks: n },
        );
      }
      const xyMm = new Float64Array(2 * n);
      control.points.forEach((p, k) => {
        xyMm[2 * k] = p.mm[0];
        xyMm[2 * k + 1] = p.mm[1];
      });
      return {
        names: control.points.map((p) => p.name),
        xyMm,
        sigmaMm: 0.3,
        tapeResidualMm: new Float64Array(n),
      };
    }
    case 'sides_diagonals':
      return fromSixDistances(control);
    case 'diagonals':
      return fromDiagonals(control.AC_mm, control.BD_mm, px);
    case 'scale_bar': {
      if (!(control.length_mm > 0)) {
        throw new RubbingError('marks-disagree', 'The scale bar needs a length above zero.', {
          lengthMm: control.length_mm,
        });
      }
      const dx = px[2]! - px[0]!;
      const dy = px[3]! - px[1]!;
      const s = control.length_mm / Math.hypot(dx, dy);
      // axes of the picture: a flat scan is square-on
      return {
        names: ['0', String(control.length_mm)],
        xyMm: Float64Array.from([px[0]! * s, px[1]! * s, px[2]! * s, px[3]! * s]),
        sigmaMm: 0.3,
        tapeResidualMm: new Float64Array(2),
      };
    }
  }
}

/** Four points from their six distances by Gauss-Newton; A at the origin, B on the x axis. */
function fromSixDistances(c: Extract<RubbingControl, { kind: 'sides_diagonals' }>): PanelMarks {
  const pairs: readonly (readonly [number, number, number, string])[] = [
    [0, 1, c.AB_mm, 'AB'],
    [1, 2, c.BC_mm, 'BC'],
    [2, 3, c.CD_mm, 'CD'],
    [3, 0, c.DA_mm, 'DA'],
    [0, 2, c.AC_mm, 'AC'],
    [1, 3, c.BD_mm, 'BD'],
  ];
  for (const [, , d, name] of pairs) {
    if (!(d > 0)) {
      throw new RubbingError(
        'marks-disagree',
        `Distance ${name} must be above zero, got ${d} mm.`,
        {
          distance: name,
        },
      );
    }
  }
  const p = Float64Array.from([0, 0, c.AB_mm, 0, c.AB_mm, c.BC_mm, 0, c.DA_mm]);
  for (let round = 0; round < 30; round++) {
    const m = new Float64Array(25);
    const v = new Float64Array(5);
    for (const [i, j, d] of pairs) {
      const dx = p[2 * j]! - p[2 * i]!;
      const dy = p[2 * j + 1]! - p[2 * i + 1]!;
      const now = Math.max(1e-6, Math.hypot(dx, dy));
      const row = new Float64Array(8);
      row[2 * j] = dx / now;
      row[2 * j + 1] = dy / now;
      row[2 * i] = -dx / now;
      row[2 * i + 1] = -dy / now;
      // unknowns: Bx, Cx, Cy, Dx, Dy
      const g = [row[2]!, row[4]!, row[5]!, row[6]!, row[7]!];
      for (let a = 0; a < 5; a++) {
        for (let b = 0; b < 5; b++) m[5 * a + b]! += g[a]! * g[b]!;
        v[a]! += g[a]! * (d - now);
      }
    }
    for (let a = 0; a < 5; a++) m[6 * a]! += 1e-9;
    const step = solve(m, v, 5);
    p[2]! += step[0]!;
    for (let a = 1; a < 5; a++) p[3 + a]! += step[a]!;
    if (step.every((s) => Math.abs(s) < 1e-9)) break;
  }
  const tapeResidualMm = new Float64Array(4);
  let worst = 0;
  let worstName = '';
  for (const [i, j, d, name] of pairs) {
    const r = Math.abs(Math.hypot(p[2 * j]! - p[2 * i]!, p[2 * j + 1]! - p[2 * i + 1]!) - d);
    tapeResidualMm[i] = Math.max(tapeResidualMm[i]!, r);
    tapeResidualMm[j] = Math.max(tapeResidualMm[j]!, r);
    if (r > worst) {
      worst = r;
      worstName = name;
    }
  }
  // six distances determine five numbers: one error is spread over all six, about a quarter on each
  if (worst > 3 * TAPE_SIGMA_MM) {
    throw new RubbingError(
      'marks-disagree',
      `The six distances do not close: ${worstName} is off by ${worst.toFixed(1)} mm. Measure ${worstName} and the sides that meet it again.`,
      { distance: worstName, residualMm: worst },
    );
  }
  return { names: ['A', 'B', 'C', 'D'], xyMm: p, sigmaMm: TAPE_SIGMA_MM, tapeResidualMm };
}

/**
 * A nearly square-on photograph with both diagonals measured: a parallelogram with these diagonals and the side
 * ratio that the picture shows (perspective cancels in the mean of opposite sides).
 */
function fromDiagonals(ac: number, bd: number, px: ArrayLike<number>): PanelMarks {
  const side = (i: number, j: number): number =>
    Math.hypot(px[2 * i]! - px[2 * j]!, px[2 * i + 1]! - px[2 * j + 1]!);
  const pxRatio = side(0, 2) / side(1, 3);
  if (!(ac > 0) || !(bd > 0) || Math.abs(ac / bd / pxRatio - 1) > 0.12) {
    throw new RubbingError(
      'marks-disagree',
      `The diagonals measure ${ac} and ${bd} mm but stand ${pxRatio.toFixed(2)} to 1 in the photograph: check both, and photograph square-on.`,
      { ac, bd },
    );
  }
  const ratio = (side(0, 1) + side(2, 3)) / (side(1, 2) + side(3, 0));
  // parallelogram: AC² + BD² = 2 (AB² + BC²)
  const bc = Math.sqrt((ac * ac + bd * bd) / (2 * (1 + ratio * ratio)));
  const ab = ratio * bc;
  // AC² - BD² = 4 AB·BC
  const dot = (ac * ac - bd * bd) / 4;
  const x = dot / ab;
  const y = Math.sqrt(Math.max(0, bc * bc - x * x));
  return {
    names: ['A', 'B', 'C', 'D'],
    xyMm: Float64Array.from([0, 0, ab, 0, ab + x, y, x, y]),
    sigmaMm: 2 * TAPE_SIGMA_MM,
    tapeResidualMm: new Float64Array(4),
  };
}
