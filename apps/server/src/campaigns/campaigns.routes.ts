import { z } from 'zod';
import {
  beginCampaignBody,
  campaignAnswer,
  closeCampaignBody,
  extendCampaignBody,
  recordWorkTimeBody,
  signatureAnswer,
  signTreatmentBody,
  workTimeAnswer,
  writtenShape,
} from '#libs/archive';
import { route } from '../platform/route.js';

export const listCampaigns = route({
  method: 'GET',
  path: '/v1/sites/{siteId}/campaigns',
  tag: 'campaigns',
  summary: 'Campaigns of a site, newest first',
  access: 'reader',
  answer: z.object({ items: z.array(campaignAnswer), next: z.null() }),
  problems: ['site-unknown'],
});

export const beginCampaign = route({
  method: 'POST',
  path: '/v1/sites/{siteId}/campaigns',
  tag: 'campaigns',
  summary: 'Begin a campaign: what it covers, and who works in it',
  access: 'conservator',
  body: beginCampaignBody,
  answer: campaignAnswer.extend(writtenShape),
  status: 201,
  problems: [
    'site-unknown',
    'mark-invalid',
    'subject-unknown',
    'person-unknown',
    'person-erased',
    'date-invalid',
    'idempotency-key-reused',
  ],
});

export const campaign = route({
  method: 'GET',
  path: '/v1/campaigns/{campaignId}',
  tag: 'campaigns',
  summary: 'One campaign',
  access: 'reader',
  answer: campaignAnswer,
  problems: ['campaign-unknown'],
});

export const extendCampaign = route({
  method: 'PUT',
  path: '/v1/campaigns/{campaignId}',
  tag: 'campaigns',
  summary: 'Change what a campaign covers, and who works in it',
  access: 'conservator',
  revises: 'required',
  body: extendCampaignBody,
  answer: campaignAnswer.extend(writtenShape),
  problems: [
    'campaign-unknown',
    'campaign-closed',
    'mark-invalid',
    'subject-unknown',
    'person-unknown',
    'person-erased',
    'idempotency-key-reused',
  ],
});

export const closeCampaign = route({
  method: 'POST',
  path: '/v1/campaigns/{campaignId}/close',
  tag: 'campaigns',
  summary: 'Close a campaign; refused over open flags',
  access: 'conservator',
  revises: 'optional',
  body: closeCampaignBody,
  answer: campaignAnswer.extend(writtenShape),
  problems: [
    'campaign-unknown',
    'campaign-closed',
    'flags-open',
    'date-invalid',
    'idempotency-key-reused',
  ],
});

const minutes = z.int().min(0);

export const campaignProgress = route({
  method: 'GET',
  path: '/v1/campaigns/{campaignId}/progress',
  tag: 'campaigns',
  summary: 'How far a campaign is, and what stands in the way',
  access: 'reader',
  answer: z.object({
    minutesDone: minutes.nullable().describe('null for who may not see hours'),
    minutesExpected: z
      .object({ low: minutes, likely: minutes, high: minutes })
      .nullable()
      .describe('of the newest estimate; null where none was made'),
    openFlags: z.int(),
    withoutConsent: z.array(z.string()).describe('marks that no consent covers today'),
    openConditions: z.array(
      z.object({ consentId: z.string(), conditionId: z.string(), text: z.string() }),
    ),
    panels: z.record(z.string(), z.int()).describe('panels by their state of work'),
  }),
  problems: ['campaign-unknown'],
});

export const listWorkTime = route({
  method: 'GET',
  path: '/v1/campaigns/{campaignId}/time',
  tag: 'campaigns',
  summary: 'Time that the work of a campaign took, newest first',
  access: 'recorder',
  answer: z.object({ items: z.array(workTimeAnswer), next: z.null() }),
  problems: ['campaign-unknown', 'role-insufficient'],
});

export const recordWorkTime = route({
  method: 'POST',
  path: '/v1/campaigns/{campaignId}/time',
  tag: 'campaigns',
  summary: 'Say how long work took; it never enters a dossier that is handed out',
  access: 'recorder',
  body: recordWorkTimeBody,
  answer: workTimeAnswer.extend(writtenShape),
  status: 201,
  problems: [
    'campaign-unknown',
    'intervention-unknown',
    'person-unknown',
    'person-erased',
    'date-invalid',
    'idempotency-key-reused',
  ],
});

export const listSignatures = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/signatures',
  tag: 'campaigns',
  summary: 'Who signed which version of a panel’s treatment record, newest first',
  access: 'reader',
  answer: z.object({ items: z.array(signatureAnswer), next: z.null() }),
  problems: ['panel-unknown'],
});

export const signTreatment = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/signatures',
  tag: 'campaigns',
  summary: 'Sign a version of a panel’s treatment record; refused over open flags',
  access: 'conservator',
  body: signTreatmentBody,
  answer: signatureAnswer.extend(writtenShape),
  status: 201,
  problems: [
    'panel-unknown',
    'stale-version',
    'flags-open',
    'date-invalid',
    'idempotency-key-reused',
  ],
});
