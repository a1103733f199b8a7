/** Whether a drawing that has the right shape can be built. Apart from the schema, so that screens that draw need none. */
import { ElevationError } from './elevation-error.js';
import { checkOpening, openingSizeMm } from './opening.js';
import type { WindowDrawing } from './window-drawing.js';

/** Rows and columns may differ from the light by this much before the drawing is refused. */
const SUM_TOLERANCE_MM = 5;
/** A light may stand out of the opening by this much (rounding of survey sizes). */
const EDGE_TOLERANCE_MM = 10;

/**
 * Refuses a drawing that cannot be a window: shapes that cannot be built, letters or marks twice,
 * rows that do not fill their light, a light outside the opening.
 *
 * @throws {ElevationError}
 */
export function checkWindowDrawing(drawing: WindowDrawing): void {
  checkOpening(drawing.opening);
  const whole = openingSizeMm(drawing.opening);
  const seen = new Set<string>();
  const once = (mark: string, field: string) => {
    if (seen.has(mark)) throw new ElevationError('double-mark', `${mark} is there twice`, field);
    seen.add(mark);
  };
  const inside = (part: { xMm: number; yMm: number }, size: typeof whole, name: string) => {
    const isOut =
      part.xMm < -EDGE_TOLERANCE_MM ||
      part.yMm < -EDGE_TOLERANCE_MM ||
      part.xMm + size.widthMm > whole.widthMm + EDGE_TOLERANCE_MM ||
      part.yMm + size.heightMm > whole.heightMm + EDGE_TOLERANCE_MM;
    if (isOut) {
      throw new ElevationError('outside-opening', `${name} reaches out of the opening`, name);
    }
  };
  drawing.lights.forEach((light, at) => {
    const field = `lights.${at}`;
    checkOpening(light.opening);
    const size = openingSizeMm(light.opening);
    inside(light, size, field);
    for (const { letter } of light.columns ?? [light]) once(letter, `${field}.letter`);
    checkSum(
      light.rowHeightsMm,
      size.heightMm,
      `the rows of light ${light.letter}`,
      `${field}.rowHeightsMm`,
    );
    if (light.columns !== undefined) {
      checkSum(
        light.columns.map((column) => column.widthMm),
        size.widthMm,
        `the columns of light ${light.letter}`,
        `${field}.columns`,
      );
      if (light.columns[0]!.letter !== light.letter) {
        throw new ElevationError(
          'bad-drawing',
          `the first column of light ${light.letter} must have its letter`,
          `${field}.columns`,
        );
      }
    }
  });
  drawing.tracery.forEach((part, at) => {
    checkOpening(part.opening);
    inside(part, openingSizeMm(part.opening), `tracery.${at}`);
    once(part.mark, `tracery.${at}.mark`);
  });
  drawing.bars.forEach((bar, at) => {
    once(bar.mark, `bars.${at}.mark`);
    if (bar.toXMm <= bar.fromXMm) {
      throw new ElevationError('bad-size', `${bar.mark} has no length`, `bars.${at}.toXMm`);
    }
  });
}

function checkSum(parts: readonly number[], wholeMm: number, what: string, field: string): void {
  const sum = parts.reduce((total, part) => total + part, 0);
  if (Math.abs(sum - wholeMm) <= SUM_TOLERANCE_MM) return;
  throw new ElevationError(
    'bad-size',
    `${what} add up to ${Math.round(sum * 10) / 10} mm, the light measures ${Math.round(wholeMm * 10) / 10} mm`,
    field,
  );
}
