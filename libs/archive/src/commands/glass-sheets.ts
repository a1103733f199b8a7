import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { idSchema } from '../shapes.js';
import { findRow, putRow } from '../tables.js';
import { priceShape, priceView, sheetShape, sheetView } from '../views/glass-view.js';
import { knownMaterial } from './materials.js';

export const describeSheetBody = sheetShape;

/** What sheet of glass a batch is; the whole of it each time, the statement before stays in the ledger. */
export const describeSheet = defineCommand({
  type: 'glass.sheet',
  body: describeSheetBody.extend({ materialId: idSchema }),
  role: 'recorder',
  siteOf: () => Promise.resolve(null),
  async decide({ materialId, offcutOf, ...said }, ctx) {
    await knownMaterial(ctx.tx, materialId);
    if (offcutOf !== undefined) {
      const whole = await findRow(ctx.tx, 'glass_sheet', { materialId: offcutOf });
      if (whole === undefined || whole.offcutOf !== null || offcutOf === materialId) {
        throw new Problem(
          'glass-unknown',
          'offcutOf: the register has no whole sheet of this id. Name the batch that the sheet was cut from.',
          { field: 'offcutOf' },
        );
      }
    }
    const before = await findRow(ctx.tx, 'glass_sheet', { materialId });
    if (before !== undefined) ctx.expectVersion(before.version);
    return {
      log: 'studio' as const,
      subject: null,
      happened: null,
      payload: { materialId, ...said, offcutOf: offcutOf ?? null },
      ...(before === undefined ? {} : { supersedes: { seq: Number(before.entrySeq) } }),
    };
  },
  async project(entry, tx) {
    await putRow(tx, 'glass_sheet', {
      ...entry.payload,
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
  },
  answer: async ({ payload: { materialId } }, tx) =>
    sheetView((await findRow(tx, 'glass_sheet', { materialId }))!),
});

export const priceMaterialBody = priceShape;

/** What a batch costs; kept in the studio's own log, which no dossier hands out. */
export const priceMaterial = defineCommand({
  type: 'material.price',
  body: priceMaterialBody.extend({ materialId: idSchema }),
  role: 'recorder',
  siteOf: () => Promise.resolve(null),
  async decide({ materialId, fits, ...said }, ctx) {
    await knownMaterial(ctx.tx, materialId);
    if (said.per === 'm2' && (await findRow(ctx.tx, 'glass_sheet', { materialId })) === undefined) {
      throw new Problem(
        'glass-unknown',
        'per: only a sheet of glass has a price for its area. Describe the sheet first, or price the unit.',
        { field: 'per' },
      );
    }
    const before = await findRow(ctx.tx, 'material_price', { materialId });
    if (before !== undefined) ctx.expectVersion(before.version);
    return {
      log: 'studio' as const,
      subject: null,
      happened: null,
      payload: { materialId, ...said, fits: fits ?? null },
      ...(before === undefined ? {} : { supersedes: { seq: Number(before.entrySeq) } }),
    };
  },
  async project(entry, tx) {
    await putRow(tx, 'material_price', {
      ...entry.payload,
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
  },
  answer: async ({ payload: { materialId } }, tx) =>
    priceView((await findRow(tx, 'material_price', { materialId }))!),
});
