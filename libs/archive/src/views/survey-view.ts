import { z } from 'zod';
import type { SurveyRow } from '../rows.js';
import { dateTime, idSchema, noteText, shortText, versionSchema } from '../shapes.js';
import { conditionClassSchema } from './condition-view.js';

/** Class numbers of urgency and recommendation; words for them are this program's own. */
const classNumberSchema = z.union([z.literal(0), z.literal(1), z.literal(2), z.literal(3)]);

export const SURVEYED_ELEMENTS = [
  'frame',
  'stone',
  'ironwork',
  'seal',
  'ties',
  'protective-glazing',
  'surround',
] as const;

const judgedShape = {
  conditionClass: conditionClassSchema,
  urgency: classNumberSchema.nullable().default(null),
  recommendation: classNumberSchema.nullable().default(null),
};

const saidOrNull = noteText.nullable().default(null);

const causeSchema = z.strictObject({
  text: noteText.describe('what may have led to it; kept apart from what was seen'),
  confidence: z.enum(['certain', 'likely', 'possible']),
});

const weighedShape = {
  causes: z.array(causeSchema).max(20).default([]),
  risk: saidOrNull.describe('what happens if nothing is done'),
  furtherDiagnosis: saidOrNull.describe('tests and samples that are still needed'),
};

export const surveyReasonSchema = z.strictObject({
  text: noteText,
  source: z
    .enum(['findings', 'readings', 'surveyor'])
    .describe('computed from the recorded findings or readings, or said by who looked'),
});

export const surveyedPanelSchema = z
  .strictObject({
    panelId: idSchema,
    ...judgedShape,
    reasons: z
      .array(surveyReasonSchema)
      .min(1)
      .max(40)
      .describe('what was seen; where nobody looked, why'),
    setAside: z
      .array(z.strictObject({ text: noteText, why: noteText }))
      .max(40)
      .default([])
      .describe('computed reasons that do not count here, each with why'),
    extentRatio: z
      .number()
      .min(0)
      .max(1)
      .nullable()
      .default(null)
      .describe('pieces that a damage touches, of all pieces'),
    recommendationText: saidOrNull,
    ...weighedShape,
  })
  .refine(
    ({ conditionClass, urgency, recommendation }) =>
      typeof conditionClass === 'number' || (urgency === null && recommendation === null),
    'a panel that nobody looked at has no urgency and no recommendation; say so under risk or the scope',
  );

export const surveySaidSchema = z.strictObject({
  purpose: noteText.describe('why this survey was made'),
  scope: saidOrNull.describe('what was to be looked at'),
  notReached: saidOrNull.describe('what was not reached, and why'),
  method: saidOrNull.describe('by eye, magnified, by touch …'),
  light: saidOrNull,
  weather: saidOrNull,
  access: saidOrNull.describe('scaffold, tower, ladder, from the floor'),
  environment: z
    .strictObject({
      protectiveGlazing: saidOrNull,
      ventilation: saidOrNull,
      heating: saidOrNull,
      condensation: saidOrNull,
    })
    .default({ protectiveGlazing: null, ventilation: null, heating: null, condensation: null }),
  elements: z
    .array(
      z.strictObject({
        element: z.enum(SURVEYED_ELEMENTS),
        ...judgedShape,
        reason: noteText,
      }),
    )
    .max(40)
    .default([]),
  safety: saidOrNull.describe('lead, asbestos, access: what whoever comes next must know'),
  observerRole: shortText.nullable().default(null),
  place: saidOrNull.describe('from where one looked'),
  images: z.array(idSchema).max(200).default([]).describe('mediaIds'),
  ...weighedShape,
});

export const surveyAnswer = z.object({
  surveyId: idSchema,
  siteId: idSchema,
  windowId: idSchema,
  said: surveySaidSchema,
  panels: z.array(z.looseObject({ conditionId: idSchema, panelId: idSchema, mark: z.string() })),
  nextInspection: z.string().nullable().describe('EDTF'),
  observerId: idSchema,
  happened: z.string(),
  state: z.enum(['recorded', 'withdrawn']),
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

type Answer = z.infer<typeof surveyAnswer>;

export type SurveySaid = z.infer<typeof surveySaidSchema>;
/** As a survey's row keeps it. */
export type SurveyedPanel = z.infer<typeof surveyedPanelSchema> & {
  conditionId: string;
  mark: string;
};

export function surveyView(row: SurveyRow): Answer {
  return {
    surveyId: row.surveyId,
    siteId: row.siteId,
    windowId: row.windowId,
    said: row.said as Answer['said'],
    panels: row.panels as Answer['panels'],
    nextInspection: row.nextInspection,
    observerId: row.observerId,
    happened: row.happened,
    state: row.state,
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
