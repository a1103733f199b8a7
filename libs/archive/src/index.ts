export { Archive, type ArchivePorts, type Asking, type Outcome } from './archive.js';
export { backgroundsAt } from './backgrounds.js';
export * from './backup/index.js';
export { type Camera, cameraOf, isSameFocalLength } from './camera-of.js';
export {
  type ArchiveFinding,
  type ArchiveReport,
  archiveSentence,
  type CheckedArchiveLog,
} from './check/archive-report.js';
export { ArchiveTrustError, checkArchive } from './check/check-archive.js';
export type { ObjectsMode } from './check/check-objects.js';
export { exportLog } from './check/export-log.js';
export { logRows } from './check/log-rows.js';
export { rolledBack } from './check/rolled-back.js';
export {
  type Command,
  type CommandContext,
  type Decision,
  defineCommand,
  type EntryRef,
  type JobRequest,
  type ObjectRef,
  type PrepareContext,
  type ProjectedEntry,
  type ProjectionPorts,
  type Written,
} from './command.js';
export * from './commands/index.js';
export {
  type BackupPlan,
  CONFIG_VARIABLES,
  type LanPlan,
  type MullionConfig,
  readConfig,
} from './config.js';
export {
  custodyFacts,
  type FactsAsOf,
  passingOf,
  STATE_ENTRIES,
  settledDay,
} from './custody/custody-facts.js';
export { type Gauge, gaugesOf } from './custody/gauges.js';
export { isDatabaseAway } from './database-away.js';
export { type DateSpan, spanOf } from './date-span.js';
export { drawingInForce } from './drawing-in-force.js';
export type { Consideration } from './epochs/open-epoch.js';
export {
  type FlagSeed,
  openFlags,
  putFlags,
  type RaisedFlag,
  raiseFlags,
  refuseOverOpenFlags,
} from './flags.js';
export { chosenGlass } from './glass/chosen-glass.js';
export { type CostLine, type CutCost, cutCostOf } from './glass/cut-cost.js';
export { type CutListAsked, cutListOf } from './glass/cut-list.js';
export {
  checkedEdtf,
  type Days,
  daysAsRecorded,
  daysOf,
  firstDay,
  happenedSchema,
} from './happened.js';
export { hasher } from './hasher.js';
export { PROGRAM_ACTOR, uuidOfName, uuidV7 } from './id.js';
export { forgetOldAnswers } from './idempotency.js';
export { bossSender, type JobSender, queueJobs } from './job-sender.js';
export { historyOf, keyEntries, sealingKeyOf } from './keys/announcement.js';
export { ArchiveKeys, type ArchiveKeysPorts, type KeyChangeReport } from './keys/archive-keys.js';
export type { KeptSheet } from './keys/kept-sheet.js';
export { KeyFault, KeyFile } from './keys/key-file.js';
export { keysOfArchive, recoverySheetOf } from './keys/keys-view.js';
export {
  newRecoveryWords,
  publicBytesOf,
  RECOVERY_WORDS,
  type RecoveryKeys,
  RecoveryWordsError,
  readRecoveryWords,
  recoveryKeysFromWords,
} from './keys/recovery-words.js';
export { entryAt, STUDIO_LOG } from './log-head.js';
export { readNodes, readTiles, TileMemory, TileReader } from './log-tiles.js';
export { takeOutNames } from './names/name-places.js';
export { type NameTraces, nameTraces } from './names/traces.js';
export { netChange } from './net-summary.js';
export { openArchive } from './open-archive.js';
export { askTime, stampedBytes, type TimeAnswer } from './outside/ask-time.js';
export { type AskPorts, askWitness, type WitnessAnswer } from './outside/ask-witness.js';
export type { OutsideConfig, WitnessPlace } from './outside/outside-config.js';
export { type OwnHead, ownHeads } from './outside/own-head.js';
export {
  firstTimeTokenOver,
  type KeptTimeToken,
  newestSeen,
  newestTimeToken,
  type SeenCheckpoint,
  type StandingAlarm,
  standingAlarms,
  withCosignatures,
} from './outside/seen-by.js';
export { outlineInPanel, panelOutline } from './panel-outline.js';
export { parsed } from './parse-body.js';
export { panelPoints } from './picture-points.js';
export { checkMedia, type PanelPlace, panelPlace, siteMarkOf, siteOf, sitePlace } from './place.js';
export { PROGRAM_VERSION } from './program-version.js';
export { DEAD_LETTER_QUEUE, ensureQueues, QUEUES, type QueueName, SCHEDULES } from './queues.js';
export { rebuildProjections } from './rebuild.js';
export { RecentCache } from './recent-cache.js';
export { gatherRecord, RECORD_KINDS, type RecordKind } from './records/gather-record.js';
export { recordVersion } from './records/record-version.js';
export {
  type Grant,
  grantsOf,
  isAtLeast,
  type Narrowed,
  narrowed,
  ROLES,
  type Role,
  roleAmong,
} from './role.js';
export type * from './rows.js';
export { type ScrubAsk, type ScrubOutcome, scrub } from './scrub/scrub.js';
export {
  type ReplicaHealth,
  replicaHealth,
  type ScrubHealth,
  scrubHealth,
} from './scrub/scrub-health.js';
export { ScrubRun } from './scrub/scrub-run.js';
export { type Trouble, troubleInWords } from './scrub/trouble.js';
export { decadesOf, KEY_LETTERS, type KeyName, markKeys, searchKey } from './search-keys.js';
export { refillSearch } from './search-refill.js';
export { filteredBy } from './search-row.js';
export * from './shapes.js';
export { pieceOutline } from './shards/piece-outline.js';
export {
  type AskedAssembly,
  apartSchema,
  askedSchema,
  lockedSchema,
  proposalSchema,
  type ShardsProposal,
  shardPictureSchema,
} from './shards/shard-shapes.js';
export { type ArchiveSigner, type KeyRing, signerFromKey, signerFromPem } from './signer.js';
export { standingConditions } from './standing-conditions.js';
export { getJson, getNet, INLINE_BYTES_MAX, putJson, putNet } from './stored-json.js';
export { subjectsAt } from './subjects.js';
export { type SweepAsk, type Swept, sweep } from './sweep.js';
export {
  changeRows,
  findRow,
  findRows,
  PROJECTIONS,
  type Projection,
  type Projections,
  putRow,
} from './tables.js';
export { type SqlPool, type SqlPoolClient, type SqlResult, Tx } from './tx.js';
export { type Target, unknown } from './unknown.js';
export { newestPayload, newestVersion, UPCASTERS } from './upcasters/newest-payload.js';
export * from './views/background-view.js';
export * from './views/campaign-view.js';
export * from './views/condition-view.js';
export * from './views/custody-view.js';
export * from './views/deflection-view.js';
export * from './views/dossier-view.js';
export * from './views/estimate-view.js';
export * from './views/finding-view.js';
export * from './views/flag-view.js';
export * from './views/glass-view.js';
export * from './views/intervention-view.js';
export * from './views/joining-view.js';
export * from './views/lens-calibration-view.js';
export * from './views/material-view.js';
export * from './views/media-view.js';
export * from './views/net-view.js';
export * from './views/panel-materials-view.js';
export * from './views/panel-view.js';
export * from './views/piece-technique-view.js';
export * from './views/placement-view.js';
export * from './views/proposal-view.js';
export * from './views/rubbing-view.js';
export * from './views/signature-view.js';
export * from './views/site-view.js';
export * from './views/survey-view.js';
export * from './views/test-view.js';
export * from './views/window-view.js';
export * from './views/work-time-view.js';
export { isArchiveAway, isRefusedForGood } from './whose-fault.js';
export { refuseWithdrawn, withdrawnProblem } from './withdrawn.js';
export { without } from './without.js';
export { learnedMinutes } from './works/learned-minutes.js';
export { campaignProgress, type Progress } from './works/progress.js';
export { campaignQuantities } from './works/quantities.js';
