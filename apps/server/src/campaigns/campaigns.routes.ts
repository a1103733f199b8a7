import { z } from 'zod';
import {
  beginCampaignBody,
  campaignAnswer,
  closeCampaignBody,
  extendCampaignBody,
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
