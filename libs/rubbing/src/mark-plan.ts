/** What was measured on the sheet, as observations: marks by name, and what is known of their places and distances. */
import { RubbingError } from './rubbing-error.js';
import type { RubbingControl } from './sheet.js';

export interface MeasuredDistance {
  readonly from: number;
  readonly to: number;
  readonly mm: number;
}

export interface MarkPlan {
  readonly names: readonly string[];
  /** Places measured in the panel's frame, flat; absent where only distances are known. */
  readonly placesMm?: Float64Array;
  readonly distances: readonly MeasuredDistance[];
  /** Standard deviation of one reading: of a distance, or of each coordinate of a place. */
  readonly sigmaMm: number;
  /** Where the picture must say the shape: the marks are the corners of a parallelogram within this. */
  readonly parallelogramMm?: number;
  /** What a person would call the measuring. */
  readonly said: string;
}

/** The design states ± 0.5 mm for a tape; taken as one standard deviation, so that noise that large refuses nothing. */
const TAPE_SIGMA_MM = 0.5;
/** A coordinate measured off the panel's edges with a rule, common practice, no source. */
const PLACE_SIGMA_MM = 0.4;
/** Opposite sides of a panel that is called rectangular differ by about this, common practice, no source. */
const PARALLELOGRAM_SIGMA_MM = 1.5;

/** The controls whose marks are drawn by a person and tapped. */
export type MarkControl = Exclude<
  RubbingControl,
  { kind: 'scale_bar' | 'target_sheet' | 'scanner' }
>;

/** Names of the marks to tap, in order; none for what is found without taps. */
export function markNames(control: RubbingControl): readonly string[] {
  switch (control.kind) {
    case 'control_points':
      return control.points.map((p) => p.name);
    case 'distances':
      return control.marks;
    case 'sides_diagonals':
    case 'diagonals':
      return ['A', 'B', 'C', 'D'];
    case 'scale_bar':
      return ['0', 'end'];
    case 'target_sheet':
    case 'scanner':
      return [];
  }
}

/** @throws RubbingError 'marks-too-few', 'marks-disagree' when the measurements cannot carry a flattening by their number */
export function markPlan(control: MarkControl): MarkPlan {
  switch (control.kind) {
    case 'control_points': {
      const n = control.points.length;
      if (n < 4) throw tooFew(n, 'at known places');
      return {
        names: markNames(control),
        placesMm: Float64Array.from(control.points.flatMap((p) => [p.mm[0], p.mm[1]])),
        distances: [],
        sigmaMm: PLACE_SIGMA_MM,
        said: `${n} marks at measured places`,
      };
    }
    case 'sides_diagonals':
      return checked({
        names: ['A', 'B', 'C', 'D'],
        distances: [
          { from: 0, to: 1, mm: control.AB_mm },
          { from: 1, to: 2, mm: control.BC_mm },
          { from: 2, to: 3, mm: control.CD_mm },
          { from: 3, to: 0, mm: control.DA_mm },
          { from: 0, to: 2, mm: control.AC_mm },
          { from: 1, to: 3, mm: control.BD_mm },
        ],
        sigmaMm: TAPE_SIGMA_MM,
        said: 'four sides and two diagonals',
      });
    case 'diagonals':
      return checked({
        names: ['A', 'B', 'C', 'D'],
        distances: [
          { from: 0, to: 2, mm: control.AC_mm },
          { from: 1, to: 3, mm: control.BD_mm },
        ],
        sigmaMm: TAPE_SIGMA_MM,
        parallelogramMm: PARALLELOGRAM_SIGMA_MM,
        said: 'two diagonals of a picture taken square-on',
      });
    case 'distances':
      return distancesPlan(control);
  }
}

function distancesPlan(control: Extract<RubbingControl, { kind: 'distances' }>): MarkPlan {
  const { marks, toleranceMm = TAPE_SIGMA_MM } = control;
  const n = marks.length;
  if (n < 4) throw tooFew(n, 'with distances measured between them');
  const twice = marks.find((name, k) => marks.indexOf(name) !== k);
  if (twice !== undefined) {
    throw new RubbingError(
      'marks-disagree',
      `Two marks are called ${twice}: give each mark a name of its own.`,
      { mark: twice },
    );
  }
  if (!(toleranceMm > 0)) {
    throw new RubbingError('marks-disagree', 'The tolerance of the tape must be above zero mm.', {
      toleranceMm,
    });
  }
  const distances = control.distances.map(({ from, to, mm }) => {
    const i = marks.indexOf(from);
    const j = marks.indexOf(to);
    if (i < 0 || j < 0 || i === j) {
      throw new RubbingError(
        'marks-disagree',
        `The distance ${from}–${to} does not join two of the marks ${marks.join(', ')}.`,
        { distance: `${from}${to}` },
      );
    }
    return { from: i, to: j, mm };
  });
  const alone = marks.find((_, k) => !distances.some((d) => d.from === k || d.to === k));
  if (alone !== undefined) {
    throw new RubbingError(
      'marks-too-few',
      `No distance was measured to mark ${alone}: measure it from two other marks, or leave the mark out.`,
      { mark: alone },
    );
  }
  if (distances.length < 5) {
    throw new RubbingError(
      'marks-too-few',
      `Flattening a photograph needs five distances between the marks at least, ${distances.length} came: measure the sides and both diagonals.`,
      { distances: distances.length, wanted: 5 },
    );
  }
  return checked({
    names: marks,
    distances,
    sigmaMm: toleranceMm,
    said: `${distances.length} distances between ${n} marks`,
  });
}

/** Name of a distance as a person says it: 'AB', or '1–2' where names are long. */
export function distanceName(plan: MarkPlan, d: MeasuredDistance): string {
  const [from, to] = [plan.names[d.from]!, plan.names[d.to]!];
  return from.length === 1 && to.length === 1 ? from + to : `${from}–${to}`;
}

function checked(plan: MarkPlan): MarkPlan {
  const bad = plan.distances.find((d) => !(d.mm > 0));
  if (bad) {
    const name = distanceName(plan, bad);
    throw new RubbingError(
      'marks-disagree',
      `Distance ${name} must be above zero, got ${bad.mm} mm.`,
      { distance: name },
    );
  }
  return plan;
}

function tooFew(n: number, how: string): RubbingError {
  return new RubbingError(
    'marks-too-few',
    `Flattening needs four marks ${how}, got ${n}: draw and measure ${4 - n} more.`,
    { marks: n },
  );
}
