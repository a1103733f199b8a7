/**
 * A whole archive checked in place: every copy of the same truth against the others, and all of it
 * against what the reader brings from elsewhere. Needs the same memory for any number of entries.
 */
import { hash } from 'node:crypto';
import {
  type Entry,
  type EpochLog,
  openNote,
  parseCheckpoint,
  readFingerprint,
  type Sha256,
  type VerifierKey,
  witnessKeysBrought,
} from '#libs/ledger';
import type { ObjectStore } from '#libs/objects';
import { readAuthorities } from '#libs/timestamp';
import type { SqlPool, Tx } from '../tx.js';
import { type ArchiveReport, Findings } from './archive-report.js';
import { checkEpochs, toldEpochs } from './check-epochs.js';
import { checkLog, type KnownCheckpoint } from './check-log.js';
import {
  checkObjects,
  type NamedStore,
  type ObjectFaultFound,
  type ObjectsMode,
  objectRowProblems,
} from './check-objects.js';
import { checkProjections } from './check-projections.js';
import { checkTimes } from './check-times.js';
import { logRows } from './log-rows.js';
import { rolledBack } from './rolled-back.js';
import { whatIs } from './what-is.js';

export interface ArchiveTrust {
  /** from a letter, a printed record, the sign-in page */
  fingerprint?: string;
  /** verifier keys of witnesses (C2SP tlog-cosignature), or their plain keys */
  witnessKeys?: readonly string[];
  /** signed checkpoints kept elsewhere */
  known?: readonly { name: string; note: string }[];
}

export interface ArchiveCheckOptions extends ArchiveTrust {
  pool: SqlPool;
  /** the store that the archive works with */
  objects: ObjectStore;
  /** each store by itself; the same one when there is no replica */
  stores: readonly NamedStore[];
  /** the key in the archive's key file, for logs that do not name their own; Ed25519, 32 bytes */
  publicKey: Uint8Array | undefined;
  objectsMode: ObjectsMode;
  /** false: projections are not made anew and compared */
  withProjections: boolean;
  /** PEM certificates of time authorities that the reader trusts */
  timeAuthorities?: string;
  /** whether the archive asks a time authority: then a log without a token is told */
  asksForTime?: boolean;
  onProgress?(step: string, done: number, total: number): void;
}

/** What the reader brought cannot be read: that says nothing about the archive. */
export class ArchiveTrustError extends Error {
  override readonly name = 'ArchiveTrustError';
}

const nativeSha256: Sha256 = (bytes) => hash('sha256', bytes, 'buffer');

/** @throws ArchiveTrustError when a fingerprint, witness key or checkpoint that the reader brought is mistyped */
export async function checkArchive(options: ArchiveCheckOptions): Promise<ArchiveReport> {
  const check = new ArchiveCheck(options);
  return check.run();
}

class ArchiveCheck {
  readonly #findings = new Findings();
  readonly #report: ArchiveReport;
  readonly #fingerprint: string | undefined;
  readonly #witnesses: readonly VerifierKey[];
  readonly #known: readonly KnownCheckpoint[];
  readonly #authorities: ReturnType<typeof readAuthorities> | undefined;
  /** entries that name a damaged object, in words, by its digest */
  readonly #namedBy = new Map<string, string[]>();

  constructor(private readonly options: ArchiveCheckOptions) {
    this.#fingerprint = fingerprintBrought(options.fingerprint);
    this.#witnesses = (options.witnessKeys ?? []).flatMap(witnessBrought);
    this.#known = (options.known ?? []).map(checkpointBrought);
    this.#authorities = authoritiesBrought(options.timeAuthorities);
    this.#report = {
      result: 'altered',
      findings: this.#findings.listed,
      unlisted: 0,
      notes: [],
      logs: [],
      objects: { named: 0, derived: 0, hashed: 0, bytes: 0, withdrawn: 0 },
    };
  }

  async run(): Promise<ArchiveReport> {
    const { pool, withProjections } = this.options;
    // One snapshot: what a server writes meanwhile is not half seen.
    await rolledBack(pool, 'BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY', async (tx) => {
      const damaged = await this.#objects(tx);
      await this.#logs(tx);
      this.#tellObjects(damaged);
      await this.#objectRows(tx);
    });
    if (withProjections) await this.#projections();
    else this.#report.notes.push('what people read was not compared with the history');
    this.#conclude();
    return this.#report;
  }

  async #objects(tx: Tx): Promise<readonly ObjectFaultFound[]> {
    const { objectsMode, stores } = this.options;
    if (objectsMode === 'none') {
      this.#report.notes.push('objects were not looked at');
      return [];
    }
    const { faults, ...counts } = await checkObjects(
      tx,
      stores,
      objectsMode,
      this.#step('objects'),
    );
    this.#report.objects = counts;
    for (const { digest, derivedFrom } of faults) this.#namedBy.set(derivedFrom ?? digest, []);
    return faults;
  }

  async #logs(tx: Tx): Promise<void> {
    const { objects, publicKey } = this.options;
    const rows = await logRows(tx);
    const told = await toldEpochs(tx);
    const epochs: EpochLog[] = [];
    for (const row of rows) {
      const { result, epoch } = await checkLog(row, {
        tx,
        store: objects,
        hash: nativeSha256,
        publicKey,
        fingerprint: this.#fingerprint,
        witnesses: this.#witnesses,
        known: this.#known,
        told,
        findings: this.#findings,
        notes: this.#report.notes,
        onEntry: (entry) => {
          this.#noteNames(entry);
        },
        onProgress: this.#step(row.origin),
      });
      this.#report.logs.push(result);
      epochs.push(epoch);
    }
    checkEpochs(this.#report.logs, epochs, this.#findings);
    for (const log of this.#report.logs) {
      await checkTimes(log, {
        tx,
        findings: this.#findings,
        notes: this.#report.notes,
        authorities: this.#authorities,
        isAsked: this.options.asksForTime === true,
      });
    }
    const origins = new Set(rows.map((row) => row.origin));
    for (const { name, origin } of this.#known) {
      if (origins.has(origin)) continue;
      this.#findings.add({
        place: 'known-checkpoint',
        log: origin,
        reason: `the checkpoint you kept (${name}) is of the log ${origin}, which this archive has not`,
      });
    }
  }

  #noteNames({ type, subject, objects }: Entry): void {
    if (this.#namedBy.size === 0) return;
    for (const { digest, role } of objects) {
      const named = this.#namedBy.get(digest);
      if (named !== undefined && named.length < 5)
        named.push(`${role} of ${whatIs(type, subject)}`);
    }
  }

  #tellObjects(faults: readonly ObjectFaultFound[]): void {
    const several = this.options.stores.length > 1;
    for (const { digest, store, reason, derivedFrom } of faults) {
      const named = [...new Set(this.#namedBy.get(derivedFrom ?? digest))].join(', ');
      this.#findings.add({
        place: 'object',
        digest,
        ...(several && { store }),
        ...(named !== '' && {
          what: derivedFrom === undefined ? named : `derived from the ${named}`,
        }),
        reason,
      });
    }
  }

  async #objectRows(tx: Tx): Promise<void> {
    if (this.#findings.listed.some(({ place }) => place === 'entry')) {
      this.#report.notes.push(
        'rows of objects were not compared with the entries: some are damaged',
      );
      return;
    }
    for (const { digest, reason } of await objectRowProblems(tx)) {
      this.#findings.add({ place: 'object-row', digest, reason });
    }
  }

  async #projections(): Promise<void> {
    const { pool, objects } = this.options;
    this.options.onProgress?.('what people read', 0, 1);
    try {
      const { rows, faults } = await checkProjections(pool, objects);
      this.#report.projections = { rows };
      for (const { what, reason } of faults) {
        this.#findings.add({ place: 'projection', reason, ...(what !== '' && { what }) });
      }
    } catch (cause) {
      const detail = cause instanceof Error ? cause.message : String(cause);
      if (this.#findings.isEmpty) {
        this.#findings.add({
          place: 'projection',
          reason: `what people read cannot be made anew from the history: ${detail}`,
        });
      } else {
        this.#report.notes.push(
          `what people read could not be compared with the damaged history: ${detail}`,
        );
      }
    }
    this.options.onProgress?.('what people read', 1, 1);
  }

  #conclude(): void {
    this.#tellStrangers();
    this.#report.unlisted = this.#findings.unlisted;
    if (!this.#findings.isEmpty) return;
    const anchor = this.#anchor();
    this.#report.result =
      anchor === undefined ? 'consistent-key-unknown' : 'verified-against-fingerprint';
    if (anchor !== undefined) this.#report.anchor = anchor;
  }

  /** Logs whose key never was the one that the reader knows. */
  #tellStrangers(): void {
    for (const { origin, keyFingerprint, trust } of this.#report.logs) {
      if (trust?.kind !== 'unknown') continue;
      this.#findings.add({
        place: 'key',
        log: origin,
        reason: `the key does not match the fingerprint: it is ${keyFingerprint ?? 'not known'}, you gave ${this.#fingerprint!}; somebody else signed this`,
      });
    }
  }

  #anchor(): string | undefined {
    const logs = this.#report.logs.filter((log) => log.size > 0);
    if (logs.length === 0) return undefined;
    if (this.#fingerprint !== undefined) {
      return logs.every(({ trust }) => trust?.kind === 'vouched')
        ? `signed by the key with the fingerprint ${this.#fingerprint}`
        : undefined;
    }
    // a witness answers for the log that it saw: all of them must have been seen
    if (logs.some((log) => log.witness === undefined)) return undefined;
    const names = [...new Set(logs.map((log) => log.witness!.name))].join(', ');
    const unseen = logs.reduce((sum, log) => sum + log.size - log.witness!.size, 0);
    if (unseen > 0) this.#report.notes.push(`${unseen} entries are newer than what ${names} saw`);
    return `its history was seen by the witness ${names}`;
  }

  #step(step: string): (done: number, total: number) => void {
    return (done, total) => this.options.onProgress?.(step, done, total);
  }
}

function fingerprintBrought(typed: string | undefined): string | undefined {
  if (typed === undefined) return undefined;
  const reading = readFingerprint(typed, nativeSha256);
  if (!reading.ok) throw new ArchiveTrustError(reading.reason);
  return reading.fingerprint;
}

function witnessBrought(text: string): VerifierKey[] {
  try {
    return witnessKeysBrought(text);
  } catch (cause) {
    throw new ArchiveTrustError(cause instanceof Error ? cause.message : String(cause), { cause });
  }
}

function authoritiesBrought(pem: string | undefined) {
  if (pem === undefined) return undefined;
  try {
    return readAuthorities(pem);
  } catch (cause) {
    throw new ArchiveTrustError(
      `The certificate of the time authority cannot be read: ${cause instanceof Error ? cause.message : String(cause)}.`,
      { cause },
    );
  }
}

function checkpointBrought({ name, note }: { name: string; note: string }): KnownCheckpoint {
  try {
    const { origin, size } = parseCheckpoint(openNote(note, []).text);
    return { name, origin, size, note };
  } catch (cause) {
    throw new ArchiveTrustError(
      `${name} is no checkpoint: ${cause instanceof Error ? cause.message : String(cause)}`,
      { cause },
    );
  }
}
