/** Version 3 says in which campaign work was done, what was used, and what was out of order. */
import { TEXT_NAME_STEPS } from './names.js';
import type { Payload, Steps } from './upcaster.js';

const withoutCampaign = (payload: Payload): Payload => ({
  ...payload,
  campaignId: null,
  consentId: null,
  materials: null,
  reason: null,
  workerId: null,
  flags: [],
});

export const INTERVENTION_STEPS: Steps = [...TEXT_NAME_STEPS, withoutCampaign];
