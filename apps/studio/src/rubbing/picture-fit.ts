/** What the flattening found, drawn on the picture that it was found in. */
import type { FlattenReport, Net } from '#libs/net';
import type { TapLine, TapPoint } from '../drawing/tap-board.js';
import type { Placement } from '../platform/api/panels.js';

/** A tape gives half a millimetre; a length that is further off than this disagrees. */
const tapeMm = 0.5;
const manyMarks = 12;

/** Marks with their residuals and lengths with their differences; null while nothing is known. */
export function fitOnPicture(
  placements: readonly Placement[],
  net: Net,
  mediaId: string,
): { points: readonly TapPoint[]; lines: readonly TapLine[]; words: string } | null {
  const placement = placements.find((one) => one.mediaId === mediaId);
  if (!placement || placement.points.length === 0) return null;
  const worst = placement.points.reduce(
    (most, point, index) => (point.residualMm > placement.points[most]!.residualMm ? index : most),
    0,
  );
  const spare = placement.points.length > 4 || (net.flatten?.spareMeasurements ?? 0) > 0;
  // A target sheet has a hundred marks: only the worst is named, the rest are crosses.
  const few = placement.points.length <= manyMarks;
  return {
    points: placement.points.map((point, index) => ({
      name: nameOf(point, index),
      xy: point.imageXyPx,
      worst: spare && index === worst,
      ...(few || index === worst ? { note: `${point.residualMm.toFixed(2)} mm` } : {}),
    })),
    lines: linesOf(net.flatten?.distances ?? [], placement),
    words: `the marks agree within ${placement.points[worst]!.residualMm.toFixed(2)} mm`,
  };
}

const nameOf = (point: Placement['points'][number], index: number) =>
  point.name ?? String(index + 1);

function linesOf(
  distances: NonNullable<FlattenReport['distances']>,
  { points }: Placement,
): readonly TapLine[] {
  const at = new Map(points.map((point, index) => [nameOf(point, index), point.imageXyPx]));
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
export const sayOff = (mm: number): string => `${mm < 0 ? '−' : '+'}${Math.abs(mm).toFixed(1)} mm`;
