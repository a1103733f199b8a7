/** What one run left behind for its stage pictures. */
import type { DrawnLeads } from '../draw-leads.js';
import type { LeadEvidence } from '../lead-evidence.js';
import type { ReadSheet } from '../read-sheet.js';
import type { OneSheet } from '../sheets/join-read-sheets.js';

export interface StageInput {
  readonly read: readonly ReadSheet[];
  readonly one: OneSheet;
  readonly evidence: LeadEvidence;
  readonly drawn: DrawnLeads;
  readonly isMirrored: boolean;
}
