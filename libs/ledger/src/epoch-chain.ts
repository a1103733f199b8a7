/**
 * The logs of one history over all its epochs, each against what the next one says of it. The first
 * entry of an epoch names size and root of the log before: whoever vouches for the later log vouches
 * for the closed one too, whatever key signed that, since no other entries have that root.
 */
import { base64Of } from './bytes.js';
import { type VerifySignature, verifyEd25519 } from './ed25519.js';
import { epochSentence } from './epoch.js';
import type { ToldEpoch } from './epoch-history.js';
import { isClosedAmong, isLaterEpoch, parseOrigin } from './origin.js';
import { openNote } from './signed-note.js';
import { verifierKey } from './verifier-key.js';
import type { LogResult, LogVerdict } from './verify-log.js';

export interface EpochLog {
  readonly origin: string;
  readonly size: number;
  readonly root: Uint8Array;
  readonly told: readonly ToldEpoch[];
  /** Ed25519 public keys that its history names, and the one that signed its head */
  readonly keys: readonly Uint8Array[];
}

/** What a log of the history says against another of it, or what a reader must know. */
export interface EpochSaying {
  readonly origin: string;
  readonly seq?: number;
  readonly reason: string;
}

export interface EpochChain {
  readonly faults: readonly EpochSaying[];
  /** every loss, in sentences */
  readonly notices: readonly EpochSaying[];
  /** for each log that closed as the next one says: that next one */
  readonly vouchedBy: ReadonlyMap<string, string>;
}

export interface EpochChainOptions {
  /** true: all logs of the archive are here, so that a missing epoch is a fault */
  readonly isWhole?: boolean;
  readonly verifySignature?: VerifySignature;
}

/** @param logs of any number of histories, in any order */
export function chainEpochs(
  logs: readonly EpochLog[],
  { isWhole = false, verifySignature = verifyEd25519 }: EpochChainOptions = {},
): EpochChain {
  const faults: EpochSaying[] = [];
  const notices: EpochSaying[] = [];
  const vouchedBy = new Map<string, string>();
  for (const log of logs) {
    for (const one of log.told) notices.push({ origin: log.origin, ...lossOf(one) });
    const signers = logs.filter(
      ({ origin }) => origin === log.origin || isLaterEpoch(log.origin, origin),
    );
    for (const one of log.told) {
      if (isSigned(one, signers, verifySignature)) continue;
      faults.push({
        origin: log.origin,
        seq: one.seq,
        reason: `entry ${one.seq} rests on a checkpoint over ${one.payload.known.size} entries that no key of this history signed`,
      });
    }
    const opened = log.told[0];
    if (opened?.seq !== 0) continue;
    const { before } = opened.payload;
    const closed = logs.find(({ origin }) => origin === before.origin);
    if (closed === undefined) {
      if (isWhole) continue; // told below
      const reason = `it goes on from ${before.origin}, closed at ${before.size} entries; that log is not here`;
      notices.push({ origin: log.origin, seq: 0, reason });
      continue;
    }
    const problem = closingProblem(closed, before);
    if (problem === undefined) vouchedBy.set(closed.origin, log.origin);
    else faults.push({ origin: closed.origin, reason: `${problem}, says ${log.origin}` });
  }
  if (isWhole) faults.push(...gaps(logs));
  return { faults, notices, vouchedBy };
}

/** The first log that vouches and is itself vouched for by none: what it is trusted by, the closed one is. */
export function openEpochOf(origin: string, { vouchedBy }: Pick<EpochChain, 'vouchedBy'>): string {
  let last = origin;
  for (let next = vouchedBy.get(last); next !== undefined; next = vouchedBy.get(last)) last = next;
  return last;
}

/**
 * What the reader brought, for one log among others: a closed one is known by what the next epoch says
 * of it, not by whose key signed it then, so no fingerprint is held against its key.
 * @param origins of all logs that are here
 */
export function trustAmong<T extends { readonly fingerprint?: string }>(
  trust: T,
  origin: string,
  origins: readonly string[],
): Omit<T, 'fingerprint'> & { readonly fingerprint?: string } {
  const { fingerprint, ...rest } = trust;
  return fingerprint === undefined || isClosedAmong(origin, origins)
    ? rest
    : { ...rest, fingerprint };
}

/** What a verdict of a log by itself gives to the chain; none where its checkpoint cannot be read. */
export function epochLogsOf(
  verdicts: readonly Pick<LogVerdict, 'checkpoint' | 'epochsTold' | 'publicKeys'>[],
): EpochLog[] {
  return verdicts.flatMap(({ checkpoint, epochsTold, publicKeys }) =>
    checkpoint === undefined ? [] : [{ ...checkpoint, told: epochsTold, keys: publicKeys }],
  );
}

/**
 * What can be said of a log that others of its history stand beside: a closed one is as good as the one
 * that names its root, when it fits that and itself.
 * @param resultOf of each log by itself
 */
export function resultInChain(
  origin: string,
  chain: EpochChain,
  resultOf: (origin: string) => LogResult | undefined,
): LogResult {
  const own = resultOf(origin) ?? 'altered';
  if (own === 'altered' || chain.faults.some((fault) => fault.origin === origin)) return 'altered';
  const open = openEpochOf(origin, chain);
  const isVerified = [own, resultOf(open)].includes('verified-against-fingerprint');
  return isVerified ? 'verified-against-fingerprint' : own;
}

function lossOf({ seq, recordedAt, payload }: ToldEpoch): Pick<EpochSaying, 'seq' | 'reason'> {
  const held = {
    store: 'its copy lay in the object store',
    given: 'it was given with the restore',
    client: 'a browser or phone had kept it',
  }[payload.heldBy];
  return { seq, reason: `${epochSentence(payload)} Told on ${recordedAt}: ${held}.` };
}

function isSigned(
  { payload: { known } }: ToldEpoch,
  signers: readonly EpochLog[],
  verifySignature: VerifySignature,
): boolean {
  const keys = signers.flatMap(({ keys }) => keys.map((key) => verifierKey(known.origin, key)));
  return keys.some((key) => openNote(known.note, [key], verifySignature).verified.length > 0);
}

function closingProblem(
  closed: EpochLog,
  before: { size: number; rootHash: string },
): string | undefined {
  if (closed.size > before.size) {
    return `entries ${before.size} to ${closed.size - 1} were added after it was closed at ${before.size}`;
  }
  if (closed.size < before.size) {
    return `entries ${closed.size} to ${before.size - 1} are missing: it was closed at ${before.size}`;
  }
  return base64Of(closed.root) === before.rootHash
    ? undefined
    : `it has another root than that with which it was closed at ${before.size} entries`;
}

/** Epochs that are missing between or before those that are here. */
function gaps(logs: readonly EpochLog[]): EpochSaying[] {
  return logs.flatMap(({ origin }) => {
    const epoch = parseOrigin(origin)?.epoch ?? 1;
    const earlier = new Set(
      logs.flatMap((one) =>
        isLaterEpoch(origin, one.origin) ? parseOrigin(one.origin)!.epoch : [],
      ),
    );
    const missing = Array.from({ length: epoch - 1 }, (_, at) => at + 1).filter(
      (one) => !earlier.has(one),
    );
    return missing.map((one) => ({ origin, reason: `epoch ${one} of this history is missing` }));
  });
}
