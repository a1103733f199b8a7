/** What a check of a whole archive says. */
import type { KeyTrust, LogResult } from '#libs/ledger';

export interface ArchiveFinding {
  place:
    | 'entry'
    | 'entry-column'
    | 'leaf-hash'
    | 'node'
    | 'log'
    | 'checkpoint'
    | 'checkpoint-copy'
    | 'known-checkpoint'
    | 'epoch'
    | 'key'
    | 'time-token'
    | 'reference'
    | 'object'
    | 'object-row'
    | 'projection';
  /** what is touched, by its mark: `finding on SLM.wI.2b.17` */
  what?: string;
  /** origin line of the log, and the entry in it */
  log?: string;
  seq?: number;
  digest?: string;
  /** which of the stores */
  store?: string;
  reason: string;
}

export interface CheckedArchiveLog {
  origin: string;
  size: number;
  checkpoints: number;
  /** copies of checkpoints that lie in the object store */
  copies: number;
  /** fingerprint of the key in force; undefined when nothing names it */
  keyFingerprint?: string;
  /** what the log's history of keys says of the fingerprint that the reader brought */
  trust?: KeyTrust;
  /** name of a witness that the reader trusts, and the size that it saw */
  witness?: { name: string; size: number };
  /** a later epoch goes on, and closed it as it is here */
  isClosed?: boolean;
  /** what this log tells of losses in the epochs before it, in sentences */
  losses?: string[];
  /** RFC 3161 tokens over its checkpoints that hold, and how many entries the newest covers */
  times: { tokens: number; newestSize: number };
}

export interface ArchiveReport {
  result: LogResult;
  findings: ArchiveFinding[];
  /** findings beyond those that are listed */
  unlisted: number;
  /** what a reader should know that is no fault */
  notes: string[];
  /** what the reader brought that lifts the result to verified */
  anchor?: string;
  logs: CheckedArchiveLog[];
  objects: { named: number; derived: number; hashed: number; bytes: number; withdrawn: number };
  /** rows compared with those made anew; undefined when that was left out */
  projections?: { rows: number };
}

/** Findings beyond this many are counted, not listed. */
const LISTED_MAX = 500;

/** Gathers findings, a bounded number of them. */
export class Findings {
  readonly listed: ArchiveFinding[] = [];
  unlisted = 0;

  add(finding: ArchiveFinding): void {
    if (this.listed.length < LISTED_MAX) this.listed.push(finding);
    else this.unlisted += 1;
  }

  get isEmpty(): boolean {
    return this.listed.length === 0;
  }
}

/** One sentence for people, in the words of the three results. */
export function archiveSentence(report: ArchiveReport): string {
  const count = report.findings.length + report.unlisted;
  switch (report.result) {
    case 'verified-against-fingerprint':
      return `Verified: unaltered, ${report.anchor ?? ''}.${lossMind(report)}`;
    case 'consistent-key-unknown':
      return `Consistent with itself, key not known to you: compare the fingerprint ${[...new Set(report.logs.flatMap((log) => log.keyFingerprint ?? []))].join(', ')} with one that you trust.${lossMind(report)}`;
    case 'altered':
      return `Altered: ${count === 1 ? 'one finding' : `${count} findings`}.`;
  }
}

/** What is here is unaltered, yet not all that there was: that is said in the same breath. */
function lossMind({ logs }: ArchiveReport): string {
  const losses = logs.reduce((sum, log) => sum + (log.losses?.length ?? 0), 0);
  if (losses === 0) return '';
  return ` Mind: the archive tells of ${losses === 1 ? 'one loss' : `${losses} losses`}; the lines below say which entries.`;
}
