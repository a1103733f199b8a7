import { z } from 'zod';
import {
  findingAnswer,
  findingBody,
  interventionAnswer,
  recordFindingBody,
  recordInterventionBody,
  withdrawFindingBody,
  writtenShape,
} from '#libs/archive';
import { pageOf, pageQuery } from '../platform/paging.js';
import { route } from '../platform/route.js';

const PLACING = [
  'term-unknown',
  'geometry-invalid',
  'picture-unplaced',
  'subject-unknown',
  'mark-invalid',
  'net-unknown',
  'evidence-unknown',
  'date-invalid',
  'idempotency-key-reused',
] as const;

export const listFindings = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/findings',
  tag: 'findings',
  summary: 'Findings of a panel, newest first',
  access: 'reader',
  query: pageQuery.extend({
    state: z.enum(['recorded', 'withdrawn', 'all']).default('recorded'),
  }),
  answer: pageOf(findingAnswer),
  problems: ['panel-unknown'],
});

export const recordFinding = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/findings',
  tag: 'findings',
  summary:
    'Record a finding: term and geometry, in millimetres or on a picture that is laid under the panel',
  access: 'recorder',
  body: recordFindingBody,
  answer: findingAnswer.extend(writtenShape),
  status: 201,
  problems: ['panel-unknown', 'finding-known', ...PLACING],
});

export const finding = route({
  method: 'GET',
  path: '/v1/findings/{findingId}',
  tag: 'findings',
  summary: 'One finding',
  access: 'reader',
  answer: findingAnswer,
  problems: ['finding-unknown'],
});

export const reviseFinding = route({
  method: 'PUT',
  path: '/v1/findings/{findingId}',
  tag: 'findings',
  summary: 'Correct a finding; the new entry supersedes the one before',
  access: 'recorder',
  revises: 'required',
  body: findingBody,
  answer: findingAnswer.extend(writtenShape),
  problems: ['finding-unknown', 'finding-closed', ...PLACING],
});

export const withdrawFinding = route({
  method: 'POST',
  path: '/v1/findings/{findingId}/withdraw',
  tag: 'findings',
  summary: 'Withdraw a finding, with the reason; it stays in the ledger',
  access: 'recorder',
  revises: 'optional',
  body: withdrawFindingBody,
  answer: findingAnswer.extend(writtenShape),
  problems: ['finding-unknown', 'finding-closed', 'idempotency-key-reused'],
});

export const listInterventions = route({
  method: 'GET',
  path: '/v1/sites/{siteId}/interventions',
  tag: 'interventions',
  summary: 'Work done at a site, newest recorded first; subject finds what lies in it too',
  access: 'reader',
  query: pageQuery.extend({ subject: z.string().max(64).optional() }),
  answer: pageOf(interventionAnswer),
  problems: ['site-unknown'],
});

export const recordIntervention = route({
  method: 'POST',
  path: '/v1/sites/{siteId}/interventions',
  tag: 'interventions',
  summary: 'Record work that was done, now or long ago',
  access: 'recorder',
  body: recordInterventionBody,
  answer: interventionAnswer.extend(writtenShape),
  status: 201,
  problems: [
    'site-unknown',
    'subject-unknown',
    'operation-unknown',
    'evidence-unknown',
    'campaign-unknown',
    'material-unknown',
    'person-unknown',
    'person-erased',
    'date-invalid',
    'idempotency-key-reused',
  ],
});
