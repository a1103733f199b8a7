/** The drawn window: opening, lights, tracery and bars, as stored and sent. */
import { z } from 'zod';

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
