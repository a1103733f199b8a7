import { z } from 'zod';
import {
  conditionAnswer,
  recordConditionBody,
  withdrawConditionBody,
  writtenShape,
} from '#libs/archive';
import { route } from '../platform/route.js';

export const listConditions = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/conditions',
  tag: 'conditions',
  summary: 'Condition classes of a panel, newest recorded first, withdrawn ones too',
  access: 'reader',
  answer: z.object({ items: z.array(conditionAnswer), next: z.null() }),
  problems: ['panel-unknown'],
});

export const recordCondition = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/conditions',
  tag: 'conditions',
  summary: 'Say in which condition class a panel was on a day, and why',
  access: 'recorder',
  body: recordConditionBody,
  answer: conditionAnswer.extend(writtenShape),
  status: 201,
  problems: ['panel-unknown', 'date-invalid', 'idempotency-key-reused'],
});

export const withdrawCondition = route({
  method: 'POST',
  path: '/v1/conditions/{conditionId}/withdraw',
  tag: 'conditions',
  summary: 'Take back a class that was said in error, with the reason; it stays in the ledger',
  access: 'recorder',
  revises: 'optional',
  body: withdrawConditionBody,
  answer: conditionAnswer.extend(writtenShape),
  problems: ['condition-unknown', 'condition-closed', 'idempotency-key-reused'],
});
