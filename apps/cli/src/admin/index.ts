/** The commands of whoever keeps the archive, in the order of the help. */
import type { Command } from '../command.js';
import { backupCommand } from './backup-command.js';
import { checkCommand } from './check-command.js';
import { exportLogCommand } from './export-log-command.js';
import { keyRecoverCommand, keyRotateCommand } from './key-command.js';
import { moveUpCommand } from './move-up-command.js';
import { rebuildCommand } from './rebuild-command.js';
import { recoverySheetCommand } from './recovery-sheet-command.js';
import { restoreCommand } from './restore-command.js';
import { scrubCommand } from './scrub-command.js';
import { sweepCommand } from './sweep-command.js';

export const ADMIN_COMMANDS: readonly Command[] = [
  backupCommand,
  restoreCommand,
  recoverySheetCommand,
  keyRotateCommand,
  keyRecoverCommand,
  checkCommand,
  exportLogCommand,
  rebuildCommand,
  moveUpCommand,
  scrubCommand,
  sweepCommand,
];
