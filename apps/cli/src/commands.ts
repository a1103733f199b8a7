/** What can be typed after `mullion`; the code of a command is read only when it is the one that runs. */
import type { Command } from './command.js';

export interface ListedCommand {
  /** As typed, for instance `net diff`. */
  readonly name: string;
  readonly summary: string;
  readonly open: () => Promise<Command>;
}

/** In the order of the help. */
export const COMMANDS: readonly ListedCommand[] = [
  {
    name: 'rubbing',
    summary: 'a wax rubbing to a lead drawing',
    open: async () => (await import('./rubbing-command.js')).rubbingCommand,
  },
  {
    name: 'verify',
    summary: 'check a dossier or an exported history, without a server',
    open: async () => (await import('./verify-command.js')).verifyCommand,
  },
  {
    name: 'net diff',
    summary: 'compare two drawings of one panel',
    open: async () => (await import('./net-diff-command.js')).netDiffCommand,
  },
  {
    name: 'case',
    summary: 'run one measuring case and write the neutral result',
    open: async () => (await import('./case-command.js')).caseCommand,
  },
  {
    name: 'doctor',
    summary: 'look over an archive: disk, stores, replica, key, backup',
    open: async () => (await import('./doctor/doctor-command.js')).doctorCommand,
  },
  {
    name: 'admin backup',
    summary: 'copy the archive to another disk or to S3, or read such a copy back',
    open: async () => (await import('./admin/backup-command.js')).backupCommand,
  },
  {
    name: 'admin restore',
    summary: 'make an archive from a backup, in an empty folder',
    open: async () => (await import('./admin/restore-command.js')).restoreCommand,
  },
  {
    name: 'admin recovery-sheet',
    summary: 'write the recovery sheet, for a lost key or passphrase',
    open: async () => (await import('./admin/recovery-sheet-command.js')).recoverySheetCommand,
  },
  {
    name: 'admin key rotate',
    summary: 'hand the archive on to a new key',
    open: async () => (await import('./admin/key-command.js')).keyRotateCommand,
  },
  {
    name: 'admin key recover',
    summary: 'go on after the key was lost, by the recovery sheet',
    open: async () => (await import('./admin/key-command.js')).keyRecoverCommand,
  },
  {
    name: 'admin check',
    summary: 'check the whole archive: history, checkpoints, objects, what people read',
    open: async () => (await import('./admin/check-command.js')).checkCommand,
  },
  {
    name: 'admin export-log',
    summary: 'write the history as files that other programs check',
    open: async () => (await import('./admin/export-log-command.js')).exportLogCommand,
  },
  {
    name: 'admin rebuild',
    summary: 'make what people read again from the history',
    open: async () => (await import('./admin/rebuild-command.js')).rebuildCommand,
  },
  {
    name: 'admin move-up',
    summary: "bring the archive's database to this program's version of PostgreSQL",
    open: async () => (await import('./admin/move-up-command.js')).moveUpCommand,
  },
  {
    name: 'admin scrub',
    summary: 'read and hash every object again; mend from the replica',
    open: async () => (await import('./admin/scrub-command.js')).scrubCommand,
  },
  {
    name: 'admin sweep',
    summary: 'show or clear away bytes that were never acknowledged',
    open: async () => (await import('./admin/sweep-command.js')).sweepCommand,
  },
];
