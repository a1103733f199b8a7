/** What the doctor looks at, in this order. */
import { archiveKey } from './archive-key.js';
import type { DoctorCheck } from './check.js';
import { diskSpace } from './disk-space.js';
import { homeModes } from './home-modes.js';
import { lanCertificate } from './lan-certificate.js';
import { lastBackup } from './last-backup.js';
import { lastScrub } from './last-scrub.js';
import { leftoverBytes } from './leftover-bytes.js';
import { outsideMemory } from './outside-memory.js';
import { recoverySheet } from './recovery-sheet.js';
import { replicaInStep } from './replica-in-step.js';
import { restoreDrill } from './restore-drill.js';
import { storesReachable } from './stores-reachable.js';

export const DOCTOR_CHECKS: readonly DoctorCheck[] = [
  homeModes,
  archiveKey,
  recoverySheet,
  diskSpace,
  storesReachable,
  replicaInStep,
  lastScrub,
  lastBackup,
  restoreDrill,
  leftoverBytes,
  outsideMemory,
  lanCertificate,
];
