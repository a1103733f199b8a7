/**
 * One entry proven in this browser: its bytes, their place in the tree, the signed head, the key, and
 * what others said of that history. The archive only hands over what is checked here.
 */
import {
  type Checkpoint,
  cosignaturesOn,
  type Entry,
  fingerprintOf,
  hexOf,
  leafHash,
  openNote,
  parseCheckpoint,
  parseEntry,
  parseNote,
  parseVerifierKey,
  proofFileText,
  verifyConsistency,
  verifyInclusion,
  witnessKeyForms,
} from '#libs/ledger';
import {
  readCheckpoint,
  readEntry,
  readEvidence,
  readGrowth,
  readInclusion,
  readOutside,
} from '../platform/api/ledger.js';
import { say } from '../platform/language/say.js';
import { type ComparedFingerprint, comparedFingerprint, keptHead } from './kept-heads.js';

/** The three results, in the words that every check uses. */
export type ProofResult =
  | { readonly kind: 'altered'; readonly reason: string }
  | { readonly kind: 'consistent' }
  | { readonly kind: 'verified'; readonly compared: ComparedFingerprint };

export interface SeenBy {
  readonly witness: string;
  readonly entries: number;
  readonly at: string | undefined;
}

export interface ProvenEntry {
  readonly result: ProofResult;
  readonly entry: Entry;
  /** canonical JSON, as it was hashed */
  readonly text: string;
  readonly leafHex: string;
  readonly steps: number;
  readonly head: Checkpoint;
  readonly fingerprint: string;
  readonly keySince: string | undefined;
  readonly seenBy: readonly SeenBy[];
  readonly time: {
    readonly authority: string;
    readonly statedAt: string;
    readonly entries: number;
    readonly note: string;
    readonly token: string;
  } | null;
  /** C2SP tlog-proof */
  readonly proofFile: string;
}

export async function proveEntry(
  archiveId: string,
  logId: string,
  seq: number,
  signal: AbortSignal,
): Promise<ProvenEntry> {
  const kept = await keptHead(archiveId, logId);
  if (kept === undefined) throw new Error(say('This browser has not looked at this history yet.'));
  const told = await readEntry(logId, seq, signal);
  const note = kept.size > seq ? kept.note : await readCheckpoint(logId, signal);
  const key = parseVerifierKey(kept.key)!;
  const opened = openNote(note, [key]);
  const head = parseCheckpoint(opened.text);
  const path = await readInclusion(logId, seq, head.size, signal);
  const leaf = leafHash(told.bytes);
  const fingerprint = fingerprintOf(key.publicKey);
  const faults: string[] = [];
  if (opened.verified.length === 0)
    faults.push(say('the checkpoint is not signed by the key kept here'));
  if (!verifyInclusion(leaf, seq, head, path))
    faults.push(
      say('the entry shown is not the one that the signed history holds as number {seq}', { seq }),
    );
  const others = await saidByOthers(logId, seq, head, signal, faults);
  const entry = parseEntry(told.bytes);
  if (entry.seq !== seq || entry.log !== head.origin)
    faults.push(say('the entry says that it stands elsewhere'));
  const compared = await comparedFingerprint(archiveId);
  return {
    result:
      faults[0] !== undefined
        ? { kind: 'altered', reason: faults[0] }
        : compared?.fingerprint === fingerprint
          ? { kind: 'verified', compared }
          : { kind: 'consistent' },
    entry,
    text: new TextDecoder().decode(told.bytes),
    leafHex: hexOf(leaf),
    steps: path.length,
    head,
    fingerprint,
    keySince: kept.keySince,
    ...others,
    proofFile: proofFileText({ index: seq, hashes: path, checkpointNote: note }),
  };
}

/** Heads that witnesses and the time authority saw; each must belong to the same history. */
async function saidByOthers(
  logId: string,
  seq: number,
  head: Checkpoint,
  signal: AbortSignal,
  faults: string[],
): Promise<Pick<ProvenEntry, 'seenBy' | 'time'>> {
  const [{ seen, time }, { witnesses }] = await Promise.all([
    readEvidence(logId, seq, signal),
    readOutside(signal),
  ]);
  const isSame = async (note: string, whose: string): Promise<boolean> => {
    const other = parseCheckpoint(parseNote(note).text);
    const [first, second] = other.size <= head.size ? [other, head] : [head, other];
    const proof =
      first.size === second.size ? [] : await readGrowth(logId, first.size, second.size, signal);
    const holds = other.origin === head.origin && verifyConsistency(first, second, proof);
    if (!holds)
      faults.push(say('the history that {whose} saw is not the one shown here', { whose }));
    return holds;
  };
  const seenBy: SeenBy[] = [];
  if (seen !== null && (await isSame(seen.note, 'witnesses'))) {
    const keys = witnesses.flatMap(({ verifierKey }) => {
      const key = parseVerifierKey(verifierKey);
      return key === undefined ? [] : witnessKeyForms(key);
    });
    for (const { key, atSeconds } of cosignaturesOn(seen.note, keys)) {
      seenBy.push({
        witness: key.name,
        entries: seen.size,
        at: atSeconds === undefined ? undefined : new Date(atSeconds * 1000).toISOString(),
      });
    }
  }
  const isStamped = time !== null && (await isSame(time.note, time.authority));
  return {
    seenBy,
    time: isStamped
      ? {
          authority: time.authority,
          statedAt: time.statedAt,
          entries: time.size,
          note: time.note,
          token: time.token,
        }
      : null,
  };
}
