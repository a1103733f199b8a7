import type { Answered, Asked } from './bodies.js';
import { client, everyPage, ifMatch, taken } from './request.js';

export type Campaign = Answered<'campaign'>;
export type CampaignProgress = Answered<'campaignProgress'>;
export type Proposal = Answered<'proposal'>;
export type ProposalLine = Proposal['lines'][number];
export type Consent = Answered<'listProposals'>['consents'][number];
export type Flag = Answered<'listFlags'>['items'][number];
export type Material = Answered<'listMaterials'>['items'][number];
export type WorkDone = Answered<'listInterventions'>['items'][number];

export const readCampaigns = async (
  siteId: string,
  signal: AbortSignal,
): Promise<readonly Campaign[]> =>
  (
    await taken(
      client.GET('/v1/sites/{siteId}/campaigns', { params: { path: { siteId } }, signal }),
    )
  ).items;

export const beginCampaign = (siteId: string, body: Asked<'beginCampaign'>) =>
  taken(client.POST('/v1/sites/{siteId}/campaigns', { params: { path: { siteId } }, body }));

export const extendCampaign = (
  { campaignId, version }: Pick<Campaign, 'campaignId' | 'version'>,
  body: Asked<'extendCampaign'>,
) =>
  taken(
    client.PUT('/v1/campaigns/{campaignId}', {
      params: { path: { campaignId }, header: ifMatch(version) },
      body,
    }),
  );

export const closeCampaign = (campaignId: string, body: Asked<'closeCampaign'>) =>
  taken(
    client.POST('/v1/campaigns/{campaignId}/close', { params: { path: { campaignId } }, body }),
  );

export const readProgress = (campaignId: string, signal: AbortSignal): Promise<CampaignProgress> =>
  taken(
    client.GET('/v1/campaigns/{campaignId}/progress', { params: { path: { campaignId } }, signal }),
  );

export const readProposals = (campaignId: string, signal: AbortSignal) =>
  taken(
    client.GET('/v1/campaigns/{campaignId}/proposals', {
      params: { path: { campaignId } },
      signal,
    }),
  );

/** @param version of the issue before, where one is revised */
export const writeProposal = (
  campaignId: string,
  body: Asked<'writeProposal'>,
  version: number | null,
) =>
  taken(
    client.POST('/v1/campaigns/{campaignId}/proposals', {
      params: { path: { campaignId }, ...(version === null ? {} : { header: ifMatch(version) }) },
      body,
    }),
  );

export const sendProposal = (issueId: string, body: Asked<'sendProposal'>) =>
  taken(client.POST('/v1/proposals/{issueId}/send', { params: { path: { issueId } }, body }));

export const giveConsent = (issueId: string, body: Asked<'giveConsent'>) =>
  taken(client.POST('/v1/proposals/{issueId}/consent', { params: { path: { issueId } }, body }));

export const recordLetter = (issueId: string, body: Asked<'recordConsent'>) =>
  taken(client.POST('/v1/proposals/{issueId}/letter', { params: { path: { issueId } }, body }));

export const meetCondition = (
  consentId: string,
  conditionId: string,
  body: Asked<'dischargeCondition'>,
) =>
  taken(
    client.POST('/v1/consents/{consentId}/conditions/{conditionId}/met', {
      params: { path: { consentId, conditionId } },
      body,
    }),
  );

export const proposalFile = (issueId: string): string => `/v1/proposals/${issueId}/pdf`;

export const readFlags = (
  siteId: string,
  query: { campaignId?: string; state: 'open' | 'answered' },
  signal: AbortSignal,
): Promise<readonly Flag[]> =>
  everyPage((after) =>
    taken(
      client.GET('/v1/sites/{siteId}/flags', {
        params: { path: { siteId }, query: { ...query, ...(after ? { after } : {}) } },
        signal,
      }),
    ),
  );

export const answerFlag = (flagId: string, reason: string) =>
  taken(
    client.POST('/v1/flags/{flagId}/answer', { params: { path: { flagId } }, body: { reason } }),
  );

export const readMaterials = async (signal: AbortSignal): Promise<readonly Material[]> =>
  (await taken(client.GET('/v1/materials', { signal }))).items;

export const enterMaterial = (body: Asked<'enterMaterial'>) =>
  taken(client.POST('/v1/materials', { body }));

export const countMaterial = (materialId: string, body: Asked<'countMaterial'>) =>
  taken(
    client.POST('/v1/materials/{materialId}/count', { params: { path: { materialId } }, body }),
  );

export const recordWork = (siteId: string, body: Asked<'recordIntervention'>) =>
  taken(client.POST('/v1/sites/{siteId}/interventions', { params: { path: { siteId } }, body }));

export const recordTime = (campaignId: string, body: Asked<'recordWorkTime'>) =>
  taken(client.POST('/v1/campaigns/{campaignId}/time', { params: { path: { campaignId } }, body }));

/** The newest of a campaign's work, at most a page. */
export const readWork = async (siteId: string, signal: AbortSignal): Promise<readonly WorkDone[]> =>
  (
    await taken(
      client.GET('/v1/sites/{siteId}/interventions', { params: { path: { siteId } }, signal }),
    )
  ).items;

export const signTreatment = (panelId: string, body: Asked<'signTreatment'>) =>
  taken(client.POST('/v1/panels/{panelId}/signatures', { params: { path: { panelId } }, body }));

/** The version that a panel's treatment record is at: what is signed. */
export async function readRecordVersion(subject: string, signal: AbortSignal): Promise<string> {
  const record: unknown = await taken(
    client.GET('/v1/records/{kind}', {
      params: { path: { kind: 'treatment' }, query: { subject, format: 'json' } },
      parseAs: 'json',
      signal,
    }),
  );
  return (record as { version: { version: string } }).version.version;
}
