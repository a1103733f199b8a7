import { z } from 'zod';
import {
  consentAnswer,
  dischargeConditionBody,
  giveConsentBody,
  proposalAnswer,
  recordConsentBody,
  sendProposalBody,
  writeProposalBody,
  writtenShape,
} from '#libs/archive';
import { route } from '../platform/route.js';

export const listProposals = route({
  method: 'GET',
  path: '/v1/campaigns/{campaignId}/proposals',
  tag: 'proposals',
  summary: 'Proposals of a campaign with all their issues, newest first, and the answers to them',
  access: 'reader',
  answer: z.object({
    items: z.array(proposalAnswer),
    consents: z.array(consentAnswer),
    next: z.null(),
  }),
  problems: ['campaign-unknown'],
});

export const writeProposal = route({
  method: 'POST',
  path: '/v1/campaigns/{campaignId}/proposals',
  tag: 'proposals',
  summary: 'Write a proposal, or by If-Match another issue of one',
  access: 'conservator',
  revises: 'optional',
  body: writeProposalBody,
  answer: proposalAnswer.extend(writtenShape),
  status: 201,
  problems: [
    'campaign-unknown',
    'campaign-closed',
    'proposal-unknown',
    'operation-unknown',
    'mark-invalid',
    'subject-unknown',
    'idempotency-key-reused',
  ],
});

export const proposal = route({
  method: 'GET',
  path: '/v1/proposals/{issueId}',
  tag: 'proposals',
  summary: 'One issue of a proposal',
  access: 'reader',
  answer: proposalAnswer,
  problems: ['proposal-unknown'],
});

export const proposalPdf = route({
  method: 'GET',
  path: '/v1/proposals/{issueId}/pdf',
  tag: 'proposals',
  summary: 'One issue of a proposal on paper, with room for the answer',
  access: 'reader',
  answerTypes: ['application/pdf'],
  problems: ['proposal-unknown'],
});

export const sendProposal = route({
  method: 'POST',
  path: '/v1/proposals/{issueId}/send',
  tag: 'proposals',
  summary: 'Say that a draft went out; from then on it stays as it is',
  access: 'conservator',
  revises: 'optional',
  body: sendProposalBody,
  answer: proposalAnswer.extend(writtenShape),
  problems: ['proposal-unknown', 'proposal-sent', 'date-invalid', 'idempotency-key-reused'],
});

export const giveConsent = route({
  method: 'POST',
  path: '/v1/proposals/{issueId}/consent',
  tag: 'proposals',
  summary: 'Consent to a proposal, in whole or in lines, or refuse it',
  access: 'approver',
  body: giveConsentBody,
  answer: consentAnswer.extend(writtenShape),
  status: 201,
  problems: [
    'proposal-unknown',
    'proposal-not-sent',
    'proposal-superseded',
    'own-proposal',
    'date-invalid',
    'idempotency-key-reused',
  ],
});

export const recordConsent = route({
  method: 'POST',
  path: '/v1/proposals/{issueId}/letter',
  tag: 'proposals',
  summary: 'Record an answer that came by letter: who, for whom, until when, on which conditions',
  access: 'conservator',
  body: recordConsentBody,
  answer: consentAnswer.extend(writtenShape),
  status: 201,
  problems: ['proposal-unknown', 'evidence-unknown', 'date-invalid', 'idempotency-key-reused'],
});

export const dischargeCondition = route({
  method: 'POST',
  path: '/v1/consents/{consentId}/conditions/{conditionId}/met',
  tag: 'proposals',
  summary: 'Say that a condition of a consent was met, and how',
  access: 'conservator',
  body: dischargeConditionBody,
  answer: consentAnswer.extend(writtenShape),
  problems: [
    'consent-unknown',
    'condition-met',
    'evidence-unknown',
    'date-invalid',
    'idempotency-key-reused',
  ],
});
