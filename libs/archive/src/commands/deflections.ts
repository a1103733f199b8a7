import { z } from 'zod';
import { boundsMm, type XyMm } from '#libs/net';
import { Problem } from '#libs/problem';
import {
  type BulgeFigures,
  bulgeFigures,
  bulgeSurface,
  heightsOf,
  READINGS_MAX,
  type Reading,
  readingsOn,
  readPoints,
  StructureError,
} from '#libs/structure';
import { defineCommand, type PrepareContext } from '../command.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { panelOutline } from '../panel-outline.js';
import { panelPlace, siteOf } from '../place.js';
import { faceSchema, idSchema, noteText } from '../shapes.js';
import { getJson, inlineOrObject } from '../stored-json.js';
import { changeRows, findRow, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { unknown } from '../unknown.js';
import { DATUMS, deflectionView } from '../views/deflection-view.js';
import { takeBack, takenBack } from './take-back.js';

const CSV_MAX = 2_000_000;

export const recordDeflectionBody = z
  .strictObject({
    datum: z.enum(DATUMS).describe('what the readings are taken from'),
    face: faceSchema.describe('the face that was read; the panel is drawn as seen from inside'),
    sense: z
      .enum(['distance', 'out'])
      .describe(
        'distance: from the datum to the glass, smaller where it stands out; out: as it stands out towards who reads',
      ),
    noiseMm: z
      .number()
      .positive()
      .max(50)
      .describe('how far a reading may be off: two of three keep within it'),
    readings: z
      .array(z.tuple([z.number(), z.number(), z.number()]))
      .max(READINGS_MAX)
      .optional()
      .describe('x right and y down from the top left corner as seen from inside, reading; mm'),
    csv: z
      .strictObject({
        text: z.string().min(1).max(CSV_MAX).describe('[name,] x, y, z a line'),
        unit: z.enum(['mm', 'cm', 'm', 'in']),
      })
      .optional()
      .describe('points of a total station; corners named TL, TR, BR, BL lay them on the panel'),
    note: noteText.optional(),
    happened: happenedSchema.describe('when it was read, EDTF'),
  })
  .refine(
    ({ readings, csv }) => (readings === undefined) !== (csv === undefined),
    'give either readings or csv',
  );

type Body = z.infer<typeof recordDeflectionBody>;

/** Readings of how far a panel stands out of its plane, and what was reckoned of them that day. */
export const recordDeflection = defineCommand({
  type: 'deflection.record',
  body: recordDeflectionBody.safeExtend({ panelId: idSchema }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  prepare: ({ panelId, ...said }, ports) => reckoned(panelId, said, ports),
  async decide({ panelId, datum, face, noiseMm, note, happened }, ctx, { readings, figures }) {
    const place = await panelPlace(ctx.tx, panelId);
    const day = checkedEdtf(happened);
    const kept = await inlineOrObject(ctx.objects, readings, 'readings');
    return {
      log: { siteId: place.siteId },
      subject: place.fullMark,
      happened: day,
      payload: {
        deflectionId: ctx.newId(),
        panelId,
        datum,
        face,
        noiseMm,
        /** positive towards the inside; null: in the object `readingsDigest` */
        readings: kept.object === null ? readings : null,
        readingsDigest: kept.object?.digest ?? null,
        figures,
        note: note ?? null,
      },
      objects: kept.object === null ? [] : [kept.object],
    };
  },
  async project(entry, tx, { objects }) {
    const { readings, readingsDigest, ...said } = entry.payload;
    await putRow(tx, 'deflection', {
      siteId: entry.siteId!,
      ...said,
      readings: readings ?? (await getJson(objects, readingsDigest!)),
      observerId: entry.actorId,
      happened: entry.happened!,
      state: 'recorded',
      withdrawnSeq: null,
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
  },
  answer: ({ payload }, tx) => answered(tx, payload.deflectionId),
});

export const withdrawDeflectionBody = z.strictObject({ reason: noteText });

export const withdrawDeflection = defineCommand({
  type: 'deflection.withdraw',
  body: withdrawDeflectionBody.extend({ deflectionId: idSchema }),
  role: 'recorder',
  target: 'deflection',
  siteOf: ({ deflectionId }, tx) => siteOf(tx, 'deflection', deflectionId),
  async decide({ deflectionId, reason }, ctx) {
    const row = await findRow(ctx.tx, 'deflection', { deflectionId });
    if (row === undefined) throw unknown('deflection');
    if (row.state !== 'recorded') {
      throw new Problem(
        'deflection-closed',
        'These readings are withdrawn already. Record new ones.',
      );
    }
    const place = await panelPlace(ctx.tx, row.panelId);
    return takeBack(ctx, row, { subject: place.fullMark, payload: { deflectionId, reason } });
  },
  async project(entry, tx) {
    const { deflectionId } = entry.payload;
    await changeRows(tx, 'deflection', { deflectionId }, takenBack(entry));
  },
  answer: ({ payload }, tx) => answered(tx, payload.deflectionId),
});

async function answered(tx: Tx, deflectionId: string) {
  return deflectionView((await findRow(tx, 'deflection', { deflectionId }))!);
}

/** @throws {Problem} `readings-invalid` */
async function reckoned(
  panelId: string,
  said: Body,
  ports: PrepareContext,
): Promise<{ readings: Reading[]; figures: BulgeFigures }> {
  const outlineMm = await panelOutline(ports, panelId);
  try {
    const readings = inwardReadings(said, outlineMm);
    const surface = bulgeSurface(readings, { outlineMm, noiseMm: said.noiseMm });
    return { readings, figures: rounded(bulgeFigures(heightsOf(surface))) };
  } catch (cause) {
    if (!(cause instanceof StructureError)) throw cause;
    throw new Problem(
      'readings-invalid',
      `${cause.field}: ${cause.message}.`,
      { field: cause.field },
      { cause },
    );
  }
}

/** Positive towards the inside, whichever face was read and from whichever side of the datum. */
function inwardReadings({ readings, csv, face, sense }: Body, outlineMm: readonly XyMm[]) {
  const { minX, minY, maxX, maxY } = boundsMm(outlineMm);
  const points = csv === undefined ? undefined : readPoints(csv.text, csv.unit);
  const isLaid = points?.some(({ name }) => /^(TL|TR|BR|BL)$/i.test(name ?? '')) ?? false;
  const taken =
    points === undefined
      ? readings!
      : readingsOn(points, {
          TL: [minX, minY],
          TR: [maxX, minY],
          BR: [maxX, maxY],
          BL: [minX, maxY],
        });
  // Points laid by named corners are in the panel's own frame already.
  const sign = isLaid ? 1 : (sense === 'out' ? 1 : -1) * (face === 'inside' ? 1 : -1);
  return taken.map(([x, y, value]): Reading => [tidy(x), tidy(y), tidy(sign * value)]);
}

const tidy = (value: number) => Math.round(value * 100) / 100 + 0;

/** To a thousandth, as figures are stored; the fit is no finer. */
function rounded(figures: BulgeFigures): BulgeFigures {
  return JSON.parse(
    JSON.stringify(figures, (_, value: unknown) =>
      typeof value === 'number' ? Math.round(value * 1e4) / 1e4 : value,
    ),
  ) as BulgeFigures;
}
