/** Version 2 of these payloads carries names sealed; version 1 had them in clear, or not at all. */
import type { Payload, Steps } from './upcaster.js';

/** Names of persons stood beside the ledger: see keeping.person_before. */
const personWithoutNames = (payload: Payload): Payload => ({
  ...payload,
  displayName: null,
  login: null,
});

export const PERSON_STEPS: Steps = [personWithoutNames];

/** A name in clear stays a text: what the leaf commits to cannot be taken back. */
export const TEXT_NAME_STEPS: Steps = [(payload) => payload];

/** The name moves from the sheet beside it. */
export const RUBBING_STEPS: Steps = [
  (payload) => {
    const sheet = payload['sheet'] as Payload | null;
    if (sheet === null) return { ...payload, takenBy: null };
    const { takenBy, ...rest } = sheet;
    return { ...payload, sheet: rest, takenBy: takenBy! };
  },
];
