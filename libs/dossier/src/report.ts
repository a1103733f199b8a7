/** What a check of a dossier says. */

import type { Anchor, LogResult } from '#libs/ledger';
import type { DossierKind } from './bag-layout.js';

/**
 * - `verified-against-fingerprint`: unaltered, and signed by the key that the reader's fingerprint (or
 *   witness) stands for
 * - `consistent-key-unknown`: nothing contradicts itself, but a forgery signed again throughout
 *   would look the same: compare the fingerprint with one you trust
 * - `altered`: something was changed, is missing or was added; the findings name it
 * - `unreadable`: no dossier, cut off, or made by a later program
 */
export type DossierVerdict =
  | 'verified-against-fingerprint'
  | 'consistent-key-unknown'
  | 'altered'
  | 'unreadable';

export interface DossierFinding {
  place:
    | 'container'
    | 'bag'
    | 'file'
    | 'object'
    | 'entry'
    | 'checkpoint'
    | 'key'
    | 'leaf-list'
    | 'seal';
  /** path in the bag, where one can be named */
  path?: string;
  /** origin line of the log, and the entry in it */
  log?: string;
  seq?: number;
  reason: string;
}

export interface CheckedLog {
  origin: string;
  folder: string;
  size: number;
  entries: number;
  withheld: number;
  result: LogResult;
  keyFingerprint?: string;
  /** another archive's log, carried along closed: its key is not this archive's */
  isForeign: boolean;
}

export interface DossierReport {
  verdict: DossierVerdict;
  findings: DossierFinding[];
  /** what a reader should know that is no fault */
  remarks: string[];
  anchor?: Anchor;
  about?: {
    kind: DossierKind;
    subject: string;
    /** fingerprint of the key that sealed it; says nothing by itself */
    fingerprint: string;
    baggingDate: string;
    agent: string;
  };
  logs: CheckedLog[];
  files: number;
  bytes: number;
  objects: { present: number; listedOnly: number; withdrawn: number };
}

/** What the reader brings. */
export interface DossierTrust {
  /** from the owner's letter, a printed record, the sign-in page */
  fingerprint?: string;
  /** verifier keys of witnesses */
  witnessKeys?: readonly string[];
}

/** One sentence for people, in the words of the three results. */
export function verdictSentence(report: DossierReport): string {
  switch (report.verdict) {
    case 'verified-against-fingerprint':
      return report.anchor?.kind === 'witness'
        ? `Verified: unaltered, and its history was seen by the witness ${report.anchor.name}.`
        : `Verified: unaltered, and signed by the archive with the fingerprint ${report.about?.fingerprint ?? ''}.`;
    case 'consistent-key-unknown':
      return `Consistent with itself, key not known to you: compare the fingerprint ${report.about?.fingerprint ?? ''} with one that you trust.`;
    case 'altered':
      return `Altered: ${report.findings.length === 1 ? 'one finding' : `${report.findings.length} findings`}.`;
    case 'unreadable':
      return 'Unreadable: this is no dossier that can be checked.';
  }
}
