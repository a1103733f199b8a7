import { z } from 'zod';
import { Problem } from '#libs/problem';
import { checkConditionClass } from '#libs/vocabulary';
import { defineCommand } from '../command.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { checkMedia, siteOf, sitePlace } from '../place.js';
import { idSchema, noteText } from '../shapes.js';
import { getJson, inlineOrObject } from '../stored-json.js';
import { changeRows, findRow, findRows, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { unknown } from '../unknown.js';
import {
  type SurveyedPanel,
  surveyedPanelSchema,
  surveySaidSchema,
  surveyView,
} from '../views/survey-view.js';
import { takeBack, takenBack } from './take-back.js';

export const recordSurveyBody = surveySaidSchema.extend({
  panels: z.array(surveyedPanelSchema).max(1000).default([]),
  nextInspection: happenedSchema
    .nullable()
    .default(null)
    .describe('when to look again, EDTF: 2031, 2031-05'),
  happened: happenedSchema.describe('day or days of the visit, EDTF'),
  surveyId: idSchema
    .optional()
    .describe(
      'made by the device on which the visit was written down: whoever records it from whichever device, it is recorded once',
    ),
});

/**
 * One visit to one window as one statement: how it was looked at, and of each panel class, urgency and
 * recommendation with their reasons. The classes stand beside those said by themselves (`condition.record`):
 * the later day counts, whichever way it came.
 */
export const recordSurvey = defineCommand({
  type: 'survey.record',
  body: recordSurveyBody.extend({ windowId: idSchema }),
  role: 'recorder',
  target: 'window',
  status: 201,
  siteOf: ({ windowId }, tx) => siteOf(tx, 'window', windowId),
  async decide({ windowId, surveyId, panels, nextInspection, happened, ...said }, ctx) {
    if (surveyId !== undefined) await refuseKnown(ctx.tx, surveyId);
    const window = (await findRow(ctx.tx, 'window', { windowId }))!;
    const { siteId } = window;
    const { siteMark } = await sitePlace(ctx.tx, siteId);
    await checkMedia(ctx.tx, siteId, said.images, 'images');
    const marks = new Map(
      (await findRows(ctx.tx, 'panel', { windowId, retired: false })).map((row) => [
        row.panelId,
        row.mark,
      ]),
    );
    const seen = new Set<string>();
    const surveyed = panels.map((panel, i): SurveyedPanel => {
      const mark = marks.get(panel.panelId);
      if (mark === undefined) {
        throw new Problem(
          'panel-unknown',
          `panels[${i}]: there is no such panel in ${siteMark}.${window.mark}. Read the window again and send its panels.`,
          { field: `panels[${i}].panelId` },
        );
      }
      if (seen.has(panel.panelId)) {
        throw new Problem(
          'request-invalid',
          `panels[${i}]: ${siteMark}.${window.mark}.${mark} stands there twice. Say each panel once.`,
          { field: `panels[${i}].panelId` },
        );
      }
      seen.add(panel.panelId);
      checkConditionClass({
        conditionClass: panel.conditionClass,
        observer: ctx.actorId,
        happened,
        observations: panel.reasons.length,
      });
      return { ...panel, conditionId: ctx.newId(), mark };
    });
    const next = checkedEdtf(nextInspection, 'nextInspection');
    const day = checkedEdtf(happened);
    // Last: bytes of a survey that is refused shall not lie in the store.
    const kept = await inlineOrObject(ctx.objects, surveyed, 'survey');
    return {
      log: { siteId },
      subject: `${siteMark}.${window.mark}`,
      happened: day,
      payload: {
        surveyId: surveyId ?? ctx.newId(),
        windowId,
        said,
        /** null: in the object `panelsDigest` */
        panels: kept.object === null ? surveyed : null,
        panelsDigest: kept.object?.digest ?? null,
        nextInspection: next,
      },
      objects: kept.object === null ? [] : [kept.object],
    };
  },
  async project(entry, tx, { objects }) {
    const { surveyId, windowId, said, panels, panelsDigest, nextInspection } = entry.payload;
    const surveyed =
      panels ?? ((await getJson(objects, panelsDigest!)) as readonly SurveyedPanel[]);
    const about = {
      siteId: entry.siteId!,
      observerId: entry.actorId,
      happened: entry.happened!,
      state: 'recorded' as const,
      withdrawnSeq: null,
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    };
    await putRow(tx, 'survey', {
      ...about,
      surveyId,
      windowId,
      said,
      panels: surveyed,
      nextInspection,
    });
    for (const panel of surveyed) {
      await putRow(tx, 'condition', {
        ...about,
        conditionId: panel.conditionId,
        panelId: panel.panelId,
        conditionClass: String(panel.conditionClass),
        reason: panel.reasons.map(({ text }) => text).join('; '),
        surveyId,
        urgency: panel.urgency,
        recommendation: panel.recommendation,
      });
    }
  },
  answer: ({ payload }, tx) => answered(tx, payload.surveyId),
});

/** A list of one visit that lies on two devices is recorded once. */
async function refuseKnown(tx: Tx, surveyId: string): Promise<void> {
  if ((await findRow(tx, 'survey', { surveyId })) === undefined) return;
  throw new Problem(
    'survey-known',
    'surveyId: this visit is in the archive already; it is recorded once. What was seen besides is a visit of its own.',
    { surveyId },
  );
}

export const withdrawSurveyBody = z.strictObject({ reason: noteText });

/** Takes a whole visit back, its classes too; what was said before stands again. */
export const withdrawSurvey = defineCommand({
  type: 'survey.withdraw',
  body: withdrawSurveyBody.extend({ surveyId: idSchema }),
  role: 'recorder',
  target: 'survey',
  siteOf: ({ surveyId }, tx) => siteOf(tx, 'survey', surveyId),
  async decide({ surveyId, reason }, ctx) {
    const row = await findRow(ctx.tx, 'survey', { surveyId });
    if (row === undefined) throw unknown('survey');
    if (row.state !== 'recorded') {
      throw new Problem('survey-closed', 'This survey is withdrawn already. Record a new one.');
    }
    const { siteMark } = await sitePlace(ctx.tx, row.siteId);
    const window = (await findRow(ctx.tx, 'window', { windowId: row.windowId }))!;
    return takeBack(ctx, row, {
      subject: `${siteMark}.${window.mark}`,
      payload: { surveyId, reason },
    });
  },
  async project(entry, tx) {
    const { surveyId } = entry.payload;
    await changeRows(tx, 'survey', { surveyId }, takenBack(entry));
    // a class that was withdrawn by itself keeps the entry that did it
    await changeRows(tx, 'condition', { surveyId, state: 'recorded' }, takenBack(entry));
  },
  answer: ({ payload }, tx) => answered(tx, payload.surveyId),
});

async function answered(tx: Tx, surveyId: string) {
  return surveyView((await findRow(tx, 'survey', { surveyId }))!);
}
