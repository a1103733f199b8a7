export { Archive, type ArchivePorts, type Asking, type Outcome } from './archive.js';
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
  type Target,
  type Written,
} from './command.js';
export { CONFIG_VARIABLES, type MullionConfig, readConfig } from './config.js';
export { checkedEdtf, firstDay, happenedSchema } from './happened.js';
export { uuidOfName, uuidV7 } from './id.js';
export { bossSender, type JobSender } from './job-sender.js';
export { readNodes, STUDIO_LOG } from './log-head.js';
export { parsed } from './parse-body.js';
export { type Grant, grantsOf, isAtLeast, narrowed, ROLES, type Role, roleAmong } from './role.js';
export type * from './rows.js';
export { type ArchiveSigner, signerFromKey, signerFromPem } from './signer.js';
export {
  changeRows,
  findRow,
  findRows,
  PROJECTIONS,
  type Projection,
  type Projections,
  putRow,
} from './tables.js';
export { type SqlPool, type SqlPoolClient, Tx } from './tx.js';
export { unknown } from './unknown.js';
