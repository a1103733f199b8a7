import { z } from 'zod';
import { addDecimals, negated } from '#libs/estimate';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import type { MaterialRow } from '../rows.js';
import { idSchema, noteText, shortText } from '../shapes.js';
import { changeRows, findRow, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { materialView } from '../views/material-view.js';
import { quantitySchema } from '../works/used-material.js';

export const enterMaterialBody = z.strictObject({
  name: shortText.describe('generic name, e.g. epoxy resin, two parts'),
  maker: shortText.optional().describe('maker and product, as on the tin'),
  batch: shortText.optional(),
  expires: happenedSchema.optional().describe('good until, EDTF'),
  unit: z.string().trim().min(1).max(20).describe('g, ml, m, sheet, …'),
  quantity: quantitySchema.describe('what came in'),
  kept: shortText.optional().describe('where it stands'),
  note: noteText.optional(),
});

/** A batch comes in. */
export const enterMaterial = defineCommand({
  type: 'material.enter',
  body: enterMaterialBody,
  role: 'recorder',
  status: 201,
  siteOf: () => Promise.resolve(null),
  decide(said, ctx) {
    return Promise.resolve({
      log: 'studio' as const,
      subject: null,
      happened: null,
      payload: {
        materialId: ctx.newId(),
        name: said.name,
        maker: said.maker ?? null,
        batch: said.batch ?? null,
        expires: checkedEdtf(said.expires, 'expires'),
        unit: said.unit,
        quantity: said.quantity,
        kept: said.kept ?? null,
        note: said.note ?? null,
      },
    });
  },
  async project(entry, tx) {
    await putRow(tx, 'material', {
      ...entry.payload,
      state: 'in-use',
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
  },
  answer: ({ payload }, tx) => answered(tx, payload.materialId),
});

export const countMaterialBody = z.strictObject({
  quantity: quantitySchema.describe('what is there, counted'),
  isRetired: z.boolean().default(false).describe('true: used up or thrown away'),
  note: noteText.optional(),
});

/** Somebody looked what is left of a batch; the difference stays in the history. */
export const countMaterial = defineCommand({
  type: 'material.count',
  body: countMaterialBody.extend({ materialId: idSchema }),
  role: 'recorder',
  siteOf: () => Promise.resolve(null),
  async decide({ materialId, quantity, isRetired, note }, ctx) {
    const row = await knownMaterial(ctx.tx, materialId);
    if (ctx.ifMatch !== undefined) ctx.expectVersion(row.version);
    const left = await stockOf(ctx.tx, row);
    return {
      log: 'studio' as const,
      subject: null,
      happened: null,
      payload: {
        materialId,
        quantity,
        difference: addDecimals(quantity, negated(left)),
        isRetired,
        note: note ?? null,
      },
      supersedes: { seq: Number(row.version) },
    };
  },
  async project(entry, tx) {
    const { materialId, difference, isRetired, note } = entry.payload;
    const row = (await findRow(tx, 'material', { materialId }))!;
    await changeRows(
      tx,
      'material',
      { materialId },
      {
        quantity: addDecimals(row.quantity, difference),
        state: isRetired ? 'retired' : 'in-use',
        note: note ?? row.note,
        version: entry.seq,
      },
    );
  },
  answer: ({ payload }, tx) => answered(tx, payload.materialId),
});

/** @throws {Problem} `material-unknown` */
export async function knownMaterial(tx: Tx, materialId: string): Promise<MaterialRow> {
  const row = await findRow(tx, 'material', { materialId });
  if (row !== undefined) return row;
  throw new Problem('material-unknown', 'The register has no such batch. Read the register again.');
}

/** What is left of a batch by the books; below nothing where more was used than came in. */
export async function stockOf(tx: Tx, row: MaterialRow): Promise<string> {
  const used = await tx.query<{ quantity: string }>(
    'SELECT quantity FROM material_use WHERE material_id = $1',
    [row.materialId],
    ['material_use'],
  );
  return used.reduce((left, { quantity }) => addDecimals(left, negated(quantity)), row.quantity);
}

async function answered(tx: Tx, materialId: string) {
  const row = await knownMaterial(tx, materialId);
  return materialView(row, await stockOf(tx, row));
}
