/** How the picture of a rubbing gets its scale, as a body says it; the names are those of libs/rubbing. */
import { z } from 'zod';
import { Problem } from '#libs/problem';
import { markNames } from '#libs/rubbing';
import { idSchema, shortText, xyPxSchema } from '../shapes.js';

const lengthMm = z.number().positive().max(5000);
const markName = z.string().trim().min(1).max(20);

export const controlSchema = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('control_points'),
    points: z
      .array(z.strictObject({ name: markName, mm: z.tuple([z.number(), z.number()]) }))
      .min(4, 'give at least four marks')
      .max(60),
  }),
  z.strictObject({
    kind: z.literal('distances'),
    marks: z.array(markName).min(4, 'give at least four marks').max(60),
    distances: z
      .array(z.strictObject({ from: markName, to: markName, mm: lengthMm }))
      .min(5, 'four marks need at least five distances: the four sides and a diagonal')
      .max(400),
    toleranceMm: z
      .number()
      .min(0.05)
      .max(5)
      .exactOptional()
      .describe('of the tape; 0.5 when left out'),
  }),
  z.strictObject({ kind: z.literal('scale_bar'), length_mm: lengthMm }),
  z.strictObject({ kind: z.literal('diagonals'), AC_mm: lengthMm, BD_mm: lengthMm }),
  z.strictObject({
    kind: z.literal('sides_diagonals'),
    AB_mm: lengthMm,
    BC_mm: lengthMm,
    CD_mm: lengthMm,
    DA_mm: lengthMm,
    AC_mm: lengthMm,
    BD_mm: lengthMm,
  }),
  z.strictObject({
    kind: z.literal('target_sheet'),
    sheet: shortText.exactOptional().describe('name printed on the target sheet'),
    ruler_mm: lengthMm
      .exactOptional()
      .describe('length of its ruler as measured on the print, when the printer did not keep 1:1'),
  }),
  z.strictObject({
    kind: z.literal('scanner'),
    dpi: z.number().min(30).max(4800).exactOptional().describe('else what the file states'),
  }),
]);

export type ControlBody = z.infer<typeof controlSchema>;

export const pictureSchema = z.strictObject({
  mediaId: idSchema.describe('a picture of the sheet, or of a part of it'),
  control: controlSchema,
  taps: z
    .array(xyPxSchema)
    .max(60)
    .default([])
    .describe(
      'the marks of the control in the upright picture, in the same order; none for target_sheet and scanner',
    ),
});

/**
 * What can be told before the pictures are looked at.
 *
 * @throws {Problem} `control-unusable` naming the picture and the member
 */
export function checkPictures(pictures: readonly z.infer<typeof pictureSchema>[]): void {
  const seen = new Map<string, number>();
  pictures.forEach(({ mediaId, control, taps }, at) => {
    const field = (member: string) => `pictures[${at}].${member}`;
    const twin = seen.get(mediaId);
    if (twin !== undefined) {
      throw unusable(
        field('mediaId'),
        `this is the picture of pictures[${twin}] again. Give each picture once.`,
      );
    }
    seen.set(mediaId, at);
    const wanted = markNames(control).length;
    if (taps.length !== wanted) {
      throw unusable(
        field('taps'),
        `this control needs ${wanted} places in the picture, got ${taps.length}.`,
      );
    }
    if (control.kind === 'control_points') {
      checkNames(
        control.points.map(({ name }) => name),
        field('control.points'),
      );
    }
    if (control.kind === 'distances') {
      checkNames(control.marks, field('control.marks'));
      checkDistances(control, field('control.distances'));
    }
  });
}

function checkNames(names: readonly string[], field: string): void {
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice !== undefined) {
    throw unusable(field, `two marks are called ${twice}. Give each mark a name of its own.`);
  }
}

function checkDistances(
  { marks, distances }: Extract<ControlBody, { kind: 'distances' }>,
  field: string,
): void {
  const measured = new Set<string>();
  distances.forEach(({ from, to }, i) => {
    for (const name of [from, to]) {
      if (!marks.includes(name)) {
        throw unusable(`${field}[${i}]`, `there is no mark ${name} among ${marks.join(', ')}.`);
      }
    }
    const pair = [from, to].sort().join(' ');
    if (from === to || measured.has(pair)) {
      throw unusable(
        `${field}[${i}]`,
        from === to
          ? `a distance runs between two marks; this one starts and ends at ${from}.`
          : `the distance between ${from} and ${to} is given twice. Keep the one you trust.`,
      );
    }
    measured.add(pair);
  });
}

function unusable(field: string, what: string): Problem {
  return new Problem('control-unusable', `${field}: ${what}`, { field });
}
