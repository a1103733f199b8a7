import type { Answered, Asked } from './bodies.js';
import { client, taken } from './request.js';

export type Estimates = Omit<Answered<'listEstimates'>, 'next'>;
export type Estimate = Estimates['items'][number];
export type Quantities = Answered<'campaignQuantities'>;
export type EstimateBody = Asked<'writeEstimate'>;

const at = (campaignId: string) => ({ path: { campaignId } });

export const readEstimates = (campaignId: string, signal: AbortSignal): Promise<Estimates> =>
  taken(client.GET('/v1/campaigns/{campaignId}/estimates', { params: at(campaignId), signal }));

export const readQuantities = (campaignId: string, signal: AbortSignal): Promise<Quantities> =>
  taken(client.GET('/v1/campaigns/{campaignId}/quantities', { params: at(campaignId), signal }));

export const writeEstimate = (campaignId: string, body: EstimateBody) =>
  taken(client.POST('/v1/campaigns/{campaignId}/estimates', { params: at(campaignId), body }));

export const estimateFile = (estimateId: string): string => `/v1/estimates/${estimateId}/pdf`;
