/** What a check of a dossier says. */

import type { Anchor, LogResult } from '#libs/ledger';
import type { DossierKind } from './bag-layout.js';
import type { RoleHeld } from './roles-held.js';

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
    | 'epoch'
    | 'checkpoint'
    | 'key'
    | 'leaf-list'
    | 'seal'
    | 'time-token';
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
  /** a later epoch of it is here, and names it as it closed */
  isClosed: boolean;
}

/** A time authority's statement that holds. */
export interface TimeTold {
  log: string;
  /** how many entries of the log stood then */
  entries: number;
  /** RFC 3339 */
  at: string;
  authority: string;
  /** false: the reader named no authorities, so anybody may have made its certificate */
  isChainChecked: boolean;
}

export interface DossierReport {
  verdict: DossierVerdict;
  findings: DossierFinding[];
  /** what a reader should know that is no fault */
  remarks: string[];
  anchor?: Anchor;
  /** how the archive's key changed, by its logs */
  keyRemarks: string[];
  about?: {
    kind: DossierKind;
    subject: string;
    /** fingerprint of the key that sealed it; says nothing by itself */
    fingerprint: string;
    baggingDate: string;
    agent: string;
  };
  logs: CheckedLog[];
  times: TimeTold[];
  files: number;
  bytes: number;
  objects: { present: number; listedOnly: number; withdrawn: number };
  /** references of entries to leaves of other logs, and how many of them are proven here */
  references: { all: number; proven: number };
  /** who held which role when writing, where the entry that gave it is here */
  roles: RoleHeld[];
}

/** Whether a token over some bytes holds; `fault` tells what is wrong from whom one trusts. */
export type TimeCheck = (
  token: Uint8Array,
  data: Uint8Array,
) => Promise<
  | { ok: true; at: Date; authority: string; isChainChecked: boolean }
  | { ok: false; fault: string; reason: string }
>;

/** What the reader brings. */
export interface DossierTrust {
  /** from the owner's letter, a printed record, the sign-in page */
  fingerprint?: string;
  /** verifier keys of witnesses */
  witnessKeys?: readonly string[];
  /** how time tokens are checked, with the reader's authorities; left out: they are not */
  checkTime?: TimeCheck;
}

/**
 * For people, in the words of the three results. A change of the key that the key before it did not sign
 * is always said.
 */
export function verdictSentence(report: DossierReport): string {
  const mind = report.keyRemarks.filter((remark) => remark.includes('without the old key'));
  return `${resultSentence(report)}${mind.length === 0 ? '' : ` Mind: ${mind.join('; ')}.`}`;
}

function resultSentence(report: DossierReport): string {
  const { anchor } = report;
  const sealed = report.about?.fingerprint ?? '';
  switch (report.verdict) {
    case 'verified-against-fingerprint':
      if (anchor?.kind === 'witness') {
        return `Verified: unaltered, and its history was seen by the witness ${anchor.name}.`;
      }
      return anchor === undefined || anchor.fingerprint === sealed
        ? `Verified: unaltered, and signed by the archive with the fingerprint ${sealed}.`
        : `Verified: unaltered, and signed by the archive with the fingerprint ${anchor.fingerprint}, whose key is ${sealed} by now.`;
    case 'consistent-key-unknown':
      return `Consistent with itself, key not known to you: compare the fingerprint ${sealed} with one that you trust.`;
    case 'altered':
      return `Altered: ${report.findings.length === 1 ? 'one finding' : `${report.findings.length} findings`}.`;
    case 'unreadable':
      return 'Unreadable: this is no dossier that can be checked.';
  }
}
