import { z } from 'zod';
import { formatWindow } from '#libs/marks';
import { Problem } from '#libs/problem';
import { OPERATIONS, type Operation } from '#libs/vocabulary';
import { defineCommand } from '../command.js';
import { putFlags, raiseFlags } from '../flags.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { checkedMarkIn } from '../marks.js';
import { placedName } from '../names/name-places.js';
import { sealName } from '../names/sealed-name.js';
import { keepGenerations } from '../piece-findable.js';
import { checkMedia, sitePlace } from '../place.js';
import { interventionWords, makeFindable } from '../search-row.js';
import { interventionFacts } from '../search-shows.js';
import { idSchema, markText, noteText, shortText } from '../shapes.js';
import { checkedSubjects } from '../subjects.js';
import { findRow, putRow } from '../tables.js';
import { detailSchema, interventionView } from '../views/intervention-view.js';
import { without } from '../without.js';
import { campaignOf, judgeWork } from '../works/judge-work.js';
import { materialBody, materialText, usedMaterials } from '../works/used-material.js';
import { presentPerson } from './person-rows.js';

export const recordInterventionBody = z.strictObject({
  subjects: z.array(markText).min(1, 'name at least one mark').max(200),
  operation: z.string().min(1).max(100).describe('key of /v1/operations, e.g. bond.epoxy'),
  material: shortText.optional().describe('with its maker and batch where known'),
  detail: detailSchema.optional().describe('batch, concentration, temperature, … as given'),
  byRole: shortText.optional().describe('glazier, painter, …'),
  byText: shortText.optional().describe('who, as the source says, for past work'),
  happened: happenedSchema.describe('date or period, EDTF: 1998, 1931~, 2026-03/2026-05'),
  images: z.array(idSchema).max(200).default([]).describe('mediaIds'),
  note: noteText.optional(),
  evidence: noteText.optional().describe('how it is known, for past work'),
  campaignId: idSchema
    .optional()
    .describe(
      'without it the one open campaign that covers the marks on that day, if there is one',
    ),
  materials: z
    .array(materialBody)
    .max(20)
    .default([])
    .describe('in the order in which they were used'),
  reason: noteText.optional().describe('why, where the operation asks for a stated reason'),
  workerId: idSchema.optional().describe('somebody with an account who did it'),
});

/**
 * Work that was done, now or long ago. What was done was done: nothing is refused for its order. What
 * was done in a campaign is held against what was consented to on the day it happened, and flagged.
 */
export const recordIntervention = defineCommand({
  type: 'intervention.record',
  body: recordInterventionBody.extend({ siteId: idSchema }),
  role: 'recorder',
  target: 'site',
  status: 201,
  siteOf: async ({ siteId }, tx) => (await sitePlace(tx, siteId)).siteId,
  async decide({ siteId, ...said }, ctx) {
    const operation = knownOperation(said.operation);
    const site = await sitePlace(ctx.tx, siteId);
    const subjects = await checkedSubjects(ctx.tx, siteId, said.subjects);
    await checkMedia(ctx.tx, siteId, said.images, 'images');
    const { window } = checkedMarkIn(site.siteMark, site.scheme, subjects[0]!, 'subjects');
    if (said.workerId !== undefined) await presentPerson(ctx.tx, said.workerId);
    const happened = checkedEdtf(said.happened);
    const materials = await usedMaterials(ctx.tx, said.materials);
    const work = { siteId, operation, subjects, happened, materials, reason: said.reason ?? null };
    const campaignId = await campaignOf(ctx.tx, work, said.campaignId);
    const { consentId, flags } = await judgeWork(ctx.tx, work, campaignId);
    return {
      log: { siteId },
      subject: subjects[0]!,
      happened,
      payload: {
        v: 3 as const,
        interventionId: ctx.newId(),
        subjects,
        windowMark: window === undefined ? null : formatWindow(window),
        operation: operation.key,
        material: said.material ?? materialText(materials),
        detail: said.detail ?? null,
        byRole: said.byRole ?? null,
        byText:
          said.byText === undefined
            ? null
            : await sealName(ctx.tx, said.byText, { siteId, field: 'byText' }, ctx.now),
        images: said.images,
        note: said.note ?? null,
        evidence: said.evidence ?? null,
        campaignId,
        consentId,
        materials: materials.length === 0 ? null : materials,
        reason: said.reason ?? null,
        workerId: said.workerId ?? null,
        flags: raiseFlags(ctx, flags),
      },
    };
  },
  async project(entry, tx) {
    const { windowMark, byText, flags, ...said } = without(entry.payload, 'v');
    const at = { kind: 'intervention', rowId: said.interventionId, field: 'byText' } as const;
    const row = { ...said, byText: await placedName(tx, entry, at, byText) };
    await putRow(tx, 'intervention', {
      siteId: entry.siteId!,
      ...row,
      happened: entry.happened,
      state: 'recorded',
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
    await putFlags(tx, entry, flags);
    for (const [number, { materialId, quantity }] of (row.materials ?? []).entries()) {
      if (materialId === null || quantity === null) continue;
      const use = { interventionId: row.interventionId, number, materialId, quantity };
      await putRow(tx, 'material_use', { siteId: entry.siteId!, ...use });
    }
    const { label } = knownOperation(row.operation);
    await makeFindable(tx, entry, {
      kind: 'intervention',
      rowId: row.interventionId,
      subject: row.subjects[0]!,
      windowMark,
      title: `${row.subjects.slice(0, 3).join(', ')}${row.subjects.length > 3 ? ', …' : ''}: ${label}`,
      text: interventionWords(row),
      facts: await interventionFacts(tx, entry.siteId!, row),
    });
    await keepGenerations(tx, entry, row);
  },
  answer: async ({ payload: { interventionId } }, tx) =>
    interventionView((await findRow(tx, 'intervention', { interventionId }))!),
});

function knownOperation(key: string): Operation {
  const found = OPERATIONS.find((one) => one.key === key);
  if (found !== undefined) return found;
  throw new Problem(
    'operation-unknown',
    `operation: there is no ${JSON.stringify(key)}. /v1/operations lists them.`,
    { field: 'operation' },
  );
}
