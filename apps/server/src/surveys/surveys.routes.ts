import { z } from 'zod';
import {
  answerTestBody,
  recordSurveyBody,
  recordTestBody,
  surveyAnswer,
  testAnswer,
  withdrawSurveyBody,
  withdrawTestBody,
  writtenShape,
} from '#libs/archive';
import { route } from '../platform/route.js';

const TAG = 'surveys';

export const listSurveys = route({
  method: 'GET',
  path: '/v1/windows/{windowId}/surveys',
  tag: TAG,
  summary: 'Surveys of a window, newest recorded first, withdrawn ones too',
  access: 'reader',
  answer: z.object({ items: z.array(surveyAnswer), next: z.null() }),
  problems: ['window-unknown'],
});

export const recordSurvey = route({
  method: 'POST',
  path: '/v1/windows/{windowId}/surveys',
  tag: TAG,
  summary: 'Record one visit to a window: how it was looked at, and what was said of each panel',
  access: 'recorder',
  body: recordSurveyBody,
  answer: surveyAnswer.extend(writtenShape),
  status: 201,
  problems: [
    'window-unknown',
    'panel-unknown',
    'survey-known',
    'date-invalid',
    'evidence-unknown',
    'idempotency-key-reused',
  ],
});

export const withdrawSurvey = route({
  method: 'POST',
  path: '/v1/surveys/{surveyId}/withdraw',
  tag: TAG,
  summary: 'Take a survey back with its classes, with the reason; it stays in the ledger',
  access: 'recorder',
  revises: 'optional',
  body: withdrawSurveyBody,
  answer: surveyAnswer.extend(writtenShape),
  problems: ['survey-unknown', 'survey-closed', 'idempotency-key-reused'],
});

export const listTests = route({
  method: 'GET',
  path: '/v1/sites/{siteId}/tests',
  tag: TAG,
  summary: 'Tests of paint, cleaning, putty, lead and glass, newest first; withdrawn ones too',
  access: 'reader',
  query: z.object({
    subject: z.string().max(64).optional().describe('full mark: of it and of what lies in it'),
    awaited: z.literal('1').optional().describe('only those whose result is awaited'),
  }),
  answer: z.object({ items: z.array(testAnswer), next: z.null() }),
  problems: ['site-unknown'],
});

export const recordTest = route({
  method: 'POST',
  path: '/v1/sites/{siteId}/tests',
  tag: TAG,
  summary: 'Record a test that was made, with its result or to wait for one',
  access: 'recorder',
  body: recordTestBody,
  answer: testAnswer.extend(writtenShape),
  status: 201,
  problems: [
    'site-unknown',
    'mark-invalid',
    'subject-unknown',
    'outcome-invalid',
    'date-invalid',
    'evidence-unknown',
    'geometry-invalid',
    'idempotency-key-reused',
  ],
});

export const answerTest = route({
  method: 'POST',
  path: '/v1/tests/{testId}/result',
  tag: TAG,
  summary: 'The result of a sample that was sent away',
  access: 'recorder',
  body: answerTestBody,
  answer: testAnswer.extend(writtenShape),
  problems: [
    'test-unknown',
    'test-closed',
    'outcome-invalid',
    'date-invalid',
    'evidence-unknown',
    'idempotency-key-reused',
  ],
});

export const withdrawTest = route({
  method: 'POST',
  path: '/v1/tests/{testId}/withdraw',
  tag: TAG,
  summary: 'Take back a test that was recorded in error, with the reason',
  access: 'recorder',
  revises: 'optional',
  body: withdrawTestBody,
  answer: testAnswer.extend(writtenShape),
  problems: ['test-unknown', 'test-closed', 'idempotency-key-reused'],
});
