import { z } from 'zod';
import { idSchema } from '#libs/archive';
import { route } from '../platform/route.js';

const TAG = 'surveys';
const ratio = z.number().min(0).max(1);

const windowShape = {
  windowId: idSchema,
  mark: z.string(),
  title: z.string(),
  lastSurvey: z.string().nullable().describe('EDTF'),
  nextInspection: z.string().nullable().describe('EDTF'),
};

export const proposals = route({
  method: 'GET',
  path: '/v1/windows/{windowId}/proposed-reasons',
  tag: TAG,
  summary: 'Reasons for a condition class, computed from the findings of each panel of a window',
  access: 'reader',
  answer: z.object({
    items: z.array(
      z.object({
        panelId: idSchema,
        mark: z.string(),
        extentRatio: ratio.nullable().describe('pieces that a damage touches, of all'),
        piecesTouched: z.int(),
        pieces: z.int(),
        reasons: z.array(
          z.object({
            term: z.string(),
            text: z.string(),
            how: z.string(),
            findingIds: z.array(idSchema),
            count: z.int(),
            lengthMm: z.number().nullable(),
            areaMm2: z.number().nullable(),
            shareRatio: ratio.nullable(),
            pieces: z.int(),
          }),
        ),
      }),
    ),
    next: z.null(),
  }),
  problems: ['window-unknown'],
});

export const ranking = route({
  method: 'GET',
  path: '/v1/sites/{siteId}/ranking',
  tag: TAG,
  summary:
    'Windows of a building by urgency, class, extent and bulge; those that nobody looked at apart',
  access: 'reader',
  answer: z.object({
    ranked: z.array(
      z.object({
        ...windowShape,
        urgency: z.int().nullable(),
        conditionClass: z.int(),
        inWorstClass: z.int(),
        extentRatio: ratio.nullable(),
        bulgeMm: z.number().nullable(),
        panels: z.int(),
        unseen: z.int(),
      }),
    ),
    apart: z.array(
      z.object({
        ...windowShape,
        panels: z.int(),
        notInspected: z.int(),
        notAccessible: z.int(),
        neverSaid: z.int(),
      }),
    ),
  }),
  problems: ['site-unknown'],
});

export const rankingFile = route({
  method: 'GET',
  path: '/v1/sites/{siteId}/ranking.csv',
  tag: TAG,
  summary: 'The ranked list for a spreadsheet',
  access: 'reader',
  answerTypes: ['text/csv'],
  problems: ['site-unknown'],
});

export const inspections = route({
  method: 'GET',
  path: '/v1/sites/{siteId}/inspections',
  tag: TAG,
  summary: 'When each window is to be looked at again, the earliest first',
  access: 'reader',
  answer: z.object({
    items: z.array(
      z.object({
        ...windowShape,
        surveyId: idSchema,
        day: z.string().nullable().describe('first day that the date may mean'),
        isDue: z.boolean().describe('that day has come'),
      }),
    ),
    next: z.null(),
  }),
  problems: ['site-unknown'],
});

export const inspectionsCalendar = route({
  method: 'GET',
  path: '/v1/sites/{siteId}/inspections.ics',
  tag: TAG,
  summary: 'The same as a calendar (RFC 5545)',
  access: 'reader',
  answerTypes: ['text/calendar'],
  problems: ['site-unknown'],
});

const said = z.object({
  mark: z.string(),
  conditionClass: z.union([z.int(), z.string()]),
  urgency: z.int().nullable(),
  extentRatio: ratio.nullable(),
});

export const surveyChanges = route({
  method: 'GET',
  path: '/v1/surveys/{surveyId}/changes',
  tag: TAG,
  summary: 'What changed, panel by panel, since another survey of the same window',
  access: 'reader',
  query: z.object({
    since: idSchema.optional().describe('left out: the survey of the latest day before'),
  }),
  answer: z.object({
    since: z.object({ surveyId: idSchema, happened: z.string() }).nullable(),
    panels: z.array(
      z.object({
        mark: z.string(),
        change: z.enum([
          'worse',
          'better',
          'same',
          'seen-first',
          'no-longer-seen',
          'not-seen-either-time',
          'only-before',
        ]),
        before: said.nullable(),
        after: said.nullable(),
      }),
    ),
  }),
  problems: ['survey-unknown', 'window-unknown'],
});
