/** The drawn window: opening, lights, tracery and bars, as stored and sent. */
import { z } from 'zod';
import { ElevationError } from './elevation-error.js';
import { checkOpening, openingSizeMm } from './opening.js';

const lengthMm = z.number().positive().max(100_000);
const xyMm = z.tuple([z.number(), z.number()]);

export const openingSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('rectangular'), widthMm: lengthMm, heightMm: lengthMm }),
  z.strictObject({ kind: z.literal('round-headed'), widthMm: lengthMm, heightMm: lengthMm }),
  z.strictObject({
    kind: z.literal('pointed'),
    widthMm: lengthMm,
    heightMm: lengthMm,
    springMm: z.number().min(0).describe('height of the springing line above the sill, mm'),
    leftCentreXMm: z.number().describe('arc centre on the springing line, mm from the left edge'),
    rightCentreXMm: z.number().describe('the other arc centre, mm from the left edge too'),
  }),
  z.strictObject({ kind: z.literal('circular'), diameterMm: lengthMm }),
  z.strictObject({ kind: z.literal('polygon'), ringMm: z.array(xyMm).min(3).max(2000) }),
]);

const lightLetter = z.string().regex(/^[a-z]{1,2}$/);

/**
 * Window frame: x right, y down, mm, origin at the top left of the opening's bounding box, seen from
 * inside. `xMm`, `yMm` place the top left of a light's or a tracery opening's own box in it.
 */
export const windowDrawingSchema = z.strictObject({
  opening: openingSchema,
  lights: z
    .array(
      z.strictObject({
        letter: lightLetter.describe('letter of the light, from the left as seen from inside'),
        xMm: z.number(),
        yMm: z.number(),
        opening: openingSchema,
        columns: z
          .array(z.strictObject({ letter: lightLetter, widthMm: lengthMm }))
          .min(2)
          .optional()
          .describe('columns of panels of a light that is more than one panel wide, from the left'),
        rowHeightsMm: z
          .array(lengthMm)
          .min(1)
          .max(99)
          .describe('heights of the rows of panels, the lowest row first, mm'),
      }),
    )
    .max(100),
  tracery: z
    .array(
      z.strictObject({
        mark: z
          .string()
          .regex(/^[A-Z][1-9][0-9]?$/)
          .describe('row letter from the lowest row, number from the left: A1'),
        xMm: z.number(),
        yMm: z.number(),
        opening: openingSchema,
      }),
    )
    .max(500),
  bars: z
    .array(
      z.strictObject({
        mark: z.string().regex(/^bar-[1-9][0-9]*$/),
        yMm: z.number(),
        fromXMm: z.number(),
        toXMm: z.number(),
      }),
    )
    .max(1000),
});

export type WindowDrawing = z.infer<typeof windowDrawingSchema>;
export type Light = WindowDrawing['lights'][number];

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
