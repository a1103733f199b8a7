import { z } from 'zod';
import { dateTime, idSchema } from '#libs/archive';
import { pageOf, pageQuery } from '../platform/paging.js';
import { route } from '../platform/route.js';

export const JOB_STATES = ['waiting', 'running', 'done', 'failed'] as const;

export const jobAnswer = z.object({
  jobId: idSchema,
  queue: z.string(),
  siteId: idSchema.nullable(),
  subject: z.string().nullable(),
  state: z.enum(JOB_STATES),
  stage: z.string().nullable(),
  ratio: z.number().describe('0 to 1'),
  result: z.record(z.string(), z.unknown()).nullable(),
  problem: z.record(z.string(), z.unknown()).nullable().describe('RFC 9457, when it failed'),
  askedAt: dateTime,
  changedAt: dateTime,
});

export const listJobs = route({
  method: 'GET',
  path: '/v1/jobs',
  tag: 'jobs',
  summary: 'Jobs of sites that the person may read, newest first',
  access: 'signed-in',
  query: pageQuery.extend({ state: z.enum(JOB_STATES).optional() }),
  answer: pageOf(jobAnswer),
});

export const job = route({
  method: 'GET',
  path: '/v1/jobs/{jobId}',
  tag: 'jobs',
  summary: 'How far a job is',
  access: 'signed-in',
  answer: jobAnswer,
  problems: ['job-unknown'],
});

export const jobEvents = route({
  method: 'GET',
  path: '/v1/jobs/{jobId}/events',
  tag: 'jobs',
  summary: 'Follow a job: events progress {stage, ratio}, then done {result} or failed {problem}',
  access: 'signed-in',
  answerTypes: ['text/event-stream'],
  problems: ['job-unknown'],
});
