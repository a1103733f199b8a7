export { type ArchiveToBackUp, type BackupRun, backUpArchive } from './back-up-archive.js';
export { type BackupHealth, backupHealth, type DrillHealth, drillHealth } from './backup-health.js';
export { BackupPlace } from './backup-place.js';
export {
  forgetTroubleElsewhere,
  keepRecipient,
  keptRecipients,
  lastBackupAt,
  noteTrouble,
} from './backup-state.js';
export { copyBeforeChange } from './before-migration.js';
export { DRILL_OPENERS, type DrillNote, leaveDrillNote } from './drill.js';
export {
  type BackupProgress,
  type BackupReport,
  type BackupSource,
  makeBackup,
  type PrivateFile,
} from './make-backup.js';
export { BackupFault, type Manifest } from './manifest.js';
export { type NamedPlace, nameOfPlace, openBackupPlace } from './place-of-backup.js';
export { KEEP_RULE, type KeepRule, keptGenerations, pruneBackup } from './prune-backup.js';
export {
  type Opener,
  PASSPHRASE_LENGTH_MIN,
  passphraseRecipientOf,
  type Recipient,
  recipientSchema,
  sheetRecipientOf,
} from './recipients.js';
export {
  type RestoreProgress,
  type RestoreReport,
  type RestoreTarget,
  restoreBackup,
} from './restore-backup.js';
export { OpenedPart } from './sealed-part.js';
export { type VerifyReport, verifyBackup } from './verify-backup.js';
