/** Shapes that the commands of custody share, and what they make of them. */
import { z } from 'zod';
import { type At, CUSTODY_CONDITIONS, type Seen, thingKey } from '#libs/custody';
import { formatMark } from '#libs/marks';
import { Problem } from '#libs/problem';
import { checkedMarkIn } from '../marks.js';
import { checkMedia, sitePlace } from '../place.js';
import { idSchema, markText, noteText, shortText } from '../shapes.js';
import { checkedSubjects } from '../subjects.js';
import { findRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { unknown } from '../unknown.js';

export const sampleName = z
  .string()
  .trim()
  .regex(/^[A-Za-z0-9][A-Za-z0-9-]{0,23}$/, 'letters, digits and hyphens, at most 24: C1')
  .describe('name of a sample that was taken there: C1');

export const thingSchema = z.strictObject({
  mark: markText.describe('of a panel or of what lies in one; bar, tie or stone of a window'),
  sample: sampleName.optional(),
});
export type ThingBody = z.infer<typeof thingSchema>;

/** Where a movement goes to. */
export const destinationSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('bench') }),
  z.strictObject({ kind: z.literal('place'), place: shortText.describe('store, van, kiln room') }),
  z.strictObject({
    kind: z.literal('holder'),
    role: shortText.describe('painter, laboratory, carrier'),
    place: shortText.optional().describe('where they keep it'),
    name: shortText.optional().describe('who; sealed'),
  }),
  z.strictObject({ kind: z.literal('crate'), crateId: idSchema }),
  z.strictObject({ kind: z.literal('whole') }).describe('back with what it is part of'),
]);

/** Where the crates are unpacked on arrival. */
export const unpackedToSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('bench') }),
  z.strictObject({ kind: z.literal('place'), place: shortText }),
]);

export const seenSchema = thingSchema.extend({
  condition: z.enum(CUSTODY_CONDITIONS),
  note: noteText.optional(),
  images: z.array(idSchema).max(50).default([]).describe('mediaIds'),
});

export interface SeenThing extends Seen {
  readonly images: readonly string[];
}

/**
 * Keys of things, each checked to be there.
 *
 * @throws {Problem} `mark-invalid`, `subject-unknown`, `request-invalid` for what stays in its wall
 */
export async function thingKeys(
  tx: Tx,
  siteId: string,
  things: readonly ThingBody[],
  field: string,
): Promise<string[]> {
  const site = await sitePlace(tx, siteId);
  const marks = things.map(({ mark }, i) => {
    const at = `${field}[${i}].mark`;
    const full = formatMark(checkedMarkIn(site.siteMark, site.scheme, mark.trim(), at));
    if (full.split('.').length < 3)
      throw new Problem(
        'request-invalid',
        `${at}: ${full} stays where it is built. Name its panels, or what lies in them.`,
        { field: at },
      );
    return full;
  });
  await checkedSubjects(tx, siteId, marks, field);
  const keys = marks.map((mark, i) => thingKey({ mark, sample: things[i]!.sample ?? null }));
  const twice = keys.find((key, i) => keys.indexOf(key) !== i);
  if (twice === undefined) return keys;
  throw new Problem('request-invalid', `${field}: ${twice} is named twice.`, { field });
}

/** What was seen, by key. @throws {Problem} as {@link thingKeys}, `evidence-unknown` */
export async function seenThings(
  tx: Tx,
  siteId: string,
  seen: readonly z.infer<typeof seenSchema>[],
): Promise<SeenThing[]> {
  const keys = await thingKeys(tx, siteId, seen, 'seen');
  await checkMedia(
    tx,
    siteId,
    seen.flatMap(({ images }) => images),
    'seen',
  );
  return seen.map(({ condition, note, images }, i) => ({
    key: keys[i]!,
    condition,
    note: note ?? null,
    images,
  }));
}

/** Crates of this site, in the order named. @throws {Problem} `crate-unknown` */
export async function checkedCrates(
  tx: Tx,
  siteId: string,
  crateIds: readonly string[],
): Promise<string[]> {
  const unique = [...new Set(crateIds)];
  for (const crateId of unique) {
    const row = await findRow(tx, 'crate', { crateId });
    if (row?.siteId !== siteId) throw unknown('crate');
  }
  return unique;
}

/** Without the name, which stands sealed beside it. */
export function placeTo(to: z.infer<typeof destinationSchema>): At {
  return to.kind === 'holder' ? { kind: 'holder', role: to.role, place: to.place ?? null } : to;
}
