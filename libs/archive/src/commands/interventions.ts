import { z } from 'zod';
import { formatWindow } from '#libs/marks';
import { Problem } from '#libs/problem';
import { OPERATIONS, type Operation } from '#libs/vocabulary';
import { defineCommand } from '../command.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { checkedMarkIn } from '../marks.js';
import { placedName } from '../names/name-places.js';
import { sealName } from '../names/sealed-name.js';
import { checkMedia, sitePlace } from '../place.js';
import { interventionWords, makeFindable } from '../search-row.js';
import { idSchema, markText, noteText, shortText } from '../shapes.js';
import { checkedSubjects } from '../subjects.js';
import { findRow, putRow } from '../tables.js';
import { detailSchema, interventionView } from '../views/intervention-view.js';
import { without } from '../without.js';

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
});

/** Work that was done, now or long ago. What was done was done: nothing is refused for its order. */
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
    return {
      log: { siteId },
      subject: subjects[0]!,
      happened: checkedEdtf(said.happened),
      payload: {
        v: 2 as const,
        interventionId: ctx.newId(),
        subjects,
        windowMark: window === undefined ? null : formatWindow(window),
        operation: operation.key,
        material: said.material ?? null,
        detail: said.detail ?? null,
        byRole: said.byRole ?? null,
        byText:
          said.byText === undefined
            ? null
            : await sealName(ctx.tx, said.byText, { siteId, field: 'byText' }, ctx.now),
        images: said.images,
        note: said.note ?? null,
        evidence: said.evidence ?? null,
      },
    };
  },
  async project(entry, tx) {
    const { windowMark, byText, ...said } = without(entry.payload, 'v');
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
    const { label } = knownOperation(row.operation);
    await makeFindable(tx, entry, {
      kind: 'intervention',
      rowId: row.interventionId,
      subject: row.subjects[0]!,
      windowMark,
      title: `${row.subjects.slice(0, 3).join(', ')}${row.subjects.length > 3 ? ', …' : ''}: ${label}`,
      text: interventionWords(row),
    });
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
