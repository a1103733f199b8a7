/** Door of custody: where things are, in whose hands, in which crate, and how they came through. */
export {
  type Arrival,
  arrivals,
  CUSTODY_CONDITION_WORDS,
  CUSTODY_CONDITIONS,
  type CustodyCondition,
  type Seen,
} from './condition.js';
export {
  type CrateLimits,
  type CrateLoad,
  crateLoad,
  type Laid,
} from './crate-load.js';
export { type PackingFault, packingFault } from './packing.js';
export {
  type LeadRow,
  leadRows,
  type OpenItems,
  openItems,
  type RebuildAnswers,
} from './rebuild-list.js';
export { panelMarkOf, readThing, type Thing, thingKey, withWhole } from './thing.js';
export {
  type At,
  type CustodyFact,
  CustodyLedger,
  chainOfCustody,
  type Passing,
  type Whereabouts,
} from './whereabouts.js';
