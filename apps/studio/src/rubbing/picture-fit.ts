/** What the flattening found, drawn on the picture that it was found in. */
import type { FlattenReport, Net } from '#libs/net';
import type { Xy } from '../drawing/plane.js';
import type { TapLine, TapPoint } from '../drawing/tap-board.js';
import type { Placement } from '../platform/api/panels.js';
import { say } from '../platform/language/say.js';
import { sayFixed } from '../platform/say-number.js';

/** A tape gives half a millimetre; a length that is further off than this disagrees. */
export const tapeMm = 0.5;
const manyMarks = 12;

/** Marks with their residuals and lengths with their differences; null while nothing is known. */
export function fitOnPicture(
  placements: readonly Placement[],
  net: Net,
  mediaId: string,
): { points: readonly TapPoint[]; lines: readonly TapLine[]; words: string } | null {
  const placement = placements.find((one) => one.mediaId === mediaId);
  if (!placement || placement.points.length === 0) return null;
  // The placement is a plain projection; the flattening knows the lens too, and its residuals count.
  const known = new Map(net.flatten?.marks.map((mark) => [mark.name, mark.residualMm]));
  const marks = placement.points.map((point, index) => {
    const name = point.name ?? String(index + 1);
    return { name, xy: point.imageXyPx, offMm: known.get(name) ?? point.residualMm };
  });
  const worst = marks.reduce((most, mark) => (mark.offMm > most.offMm ? mark : most));
  // A target sheet has a hundred marks: only the worst is named, the rest are crosses.
  const few = marks.length <= manyMarks;
  return {
    points: marks.map((mark) => ({
      name: mark.name,
      xy: mark.xy,
      worst: mark === worst && mark.offMm > tapeMm,
      ...(few || mark === worst ? { note: `${sayFixed(mark.offMm, 2)} mm` } : {}),
    })),
    lines: linesOf(net.flatten?.distances ?? [], new Map(marks.map(({ name, xy }) => [name, xy]))),
    words: say('the marks agree within {value} mm', { value: sayFixed(worst.offMm, 2) }),
  };
}

function linesOf(
  distances: NonNullable<FlattenReport['distances']>,
  at: ReadonlyMap<string, Xy>,
): readonly TapLine[] {
  const worstMm = Math.max(0, ...distances.map((one) => Math.abs(one.differenceMm)));
  return distances.flatMap(({ from, to, differenceMm }) => {
    const [a, b] = [at.get(from), at.get(to)];
    if (!a || !b) return [];
    const off = Math.abs(differenceMm);
    return [
      { from: a, to: b, words: sayOff(differenceMm), worst: off === worstMm && off > tapeMm },
    ];
  });
}

/** '+0.4 mm', with a true minus. */
export const sayOff = (mm: number): string =>
  `${mm < 0 ? '−' : '+'}${sayFixed(Math.abs(mm), 1)} mm`;
