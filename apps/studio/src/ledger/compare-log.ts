/**
 * Whether a log that the archive shows now grew from the head that this browser keeps of it.
 *
 * The head must be signed by the key kept since the first visit, or by one that the log's own history
 * hands on from it (`key.change`); the archive must prove that it contains every entry seen before.
 */
import {
  bytesEqual,
  type Checkpoint,
  type Entry,
  fingerprintOf,
  formatVerifierKey,
  KeyHistory,
  leafHash,
  openNote,
  parseCheckpoint,
  parseEntry,
  parseVerifierKey,
  type ToldEpoch,
  type VerifierKey,
  verifierKey,
  verifyConsistency,
  verifyInclusion,
} from '#libs/ledger';
import type { ToldEntry, ToldLog } from '../platform/api/ledger.js';
import { say } from '../platform/language/say.js';
import type { KeptHead } from './kept-heads.js';

/** How the archive is asked; each answer is checked. */
export interface LogAsking {
  checkpoint(): Promise<string>;
  growth(from: number, to: number): Promise<Uint8Array[]>;
  inclusion(seq: number, size: number): Promise<Uint8Array[]>;
  /** in order, those whose type begins so */
  entriesOfType(typeStart: string): Promise<readonly ToldEntry[]>;
}

export interface Epoch {
  /** what this browser had seen */
  readonly kept: KeptHead;
  /** how far the closed log goes since the restore */
  readonly closed: KeptHead;
  /** the log that goes on */
  readonly head: KeptHead;
  /** what an entry of the new log says of the loss */
  readonly said: ToldEpoch;
}

export type LogComparison =
  /** nothing was ever written, and nothing is kept */
  | { readonly kind: 'empty' }
  | { readonly kind: 'grew'; readonly head: KeptHead; readonly notices: readonly string[] }
  | {
      readonly kind: 'refused';
      readonly reason: string;
      readonly kept: KeptHead;
      /** the checkpoint that came, or undefined when none can be read */
      readonly came: string | undefined;
    };

export async function compareLog(
  told: ToldLog,
  toldKey: Uint8Array,
  kept: KeptHead | undefined,
  ask: LogAsking,
  now: string,
): Promise<LogComparison> {
  if (kept !== undefined && isSameHead(told, kept))
    return { kind: 'grew', head: kept, notices: [] };
  const note = await ask.checkpoint();
  const refused = (reason: string): LogComparison => ({
    kind: 'refused',
    reason,
    kept: kept!,
    came: note,
  });
  const key = verifierKey(told.origin, toldKey);
  const head = openHead(note, key);
  if (kept === undefined) {
    if (typeof head === 'string')
      throw new Error(say('The archive’s checkpoint {head}.', { head }));
    return { kind: 'grew', head: headOf(told, head, note, key, now, now), notices: [] };
  }
  if (told.origin !== kept.origin)
    return refused(say('The archive shows another log here, {origin}.', { origin: told.origin }));
  if (typeof head === 'string') return refused(say('The archive’s checkpoint {head}.', { head }));
  if (head.size < kept.size) {
    return refused(
      say('The archive shows {size} entries; {size2} were there before. It was set back.', {
        size: head.size,
        size2: kept.size,
      }),
    );
  }
  const keptHead = openHead(kept.note, parseVerifierKey(kept.key)!);
  if (typeof keptHead === 'string')
    return refused(say('The checkpoint kept in this browser {keptHead}.', { keptHead }));
  const proof = head.size === keptHead.size ? [] : await ask.growth(keptHead.size, head.size);
  if (!verifyConsistency(keptHead, head, proof)) {
    return refused(
      say(
        'The archive cannot prove that its history contains the {size} entries that were there before. Some of them were changed, or taken out.',
        { size: kept.size },
      ),
    );
  }
  if (formatVerifierKey(key) === kept.key) {
    return { kind: 'grew', head: headOf(told, head, note, key, kept.keySince, now), notices: [] };
  }
  const change = await handedOn(told, head, key, kept, ask);
  return 'reason' in change
    ? refused(change.reason)
    : { kind: 'grew', head: headOf(told, head, note, key, now, now), notices: change.notices };
}

function isSameHead(told: ToldLog, kept: KeptHead): boolean {
  const root = kept.note.split('\n')[2];
  return told.origin === kept.origin && told.size === kept.size && told.rootHash === root;
}

export function openHead(note: string, key: VerifierKey): Checkpoint | string {
  try {
    const opened = openNote(note, [key]);
    if (opened.verified.length === 0 || opened.failed.length > 0)
      return say('is not signed by the key of this archive');
    const head = parseCheckpoint(opened.text);
    return head.origin === key.name
      ? head
      : say('is that of another log, {origin}', { origin: head.origin });
  } catch (cause) {
    return say('cannot be read: {cause}', {
      cause: cause instanceof Error ? cause.message : String(cause),
    });
  }
}

export function headOf(
  { logId, origin }: ToldLog,
  { size }: Checkpoint,
  note: string,
  key: VerifierKey,
  keySince: string,
  seenAt: string,
): KeptHead {
  return { logId, origin, size, note, key: formatVerifierKey(key), keySince, seenAt };
}

/** Another key than the one kept: the log's own entries must hand it on, each of them proven. */
async function handedOn(
  { origin }: ToldLog,
  head: Checkpoint,
  key: VerifierKey,
  kept: KeptHead,
  ask: LogAsking,
): Promise<{ reason: string } | { notices: readonly string[] }> {
  const history = new KeyHistory(origin);
  for (const told of await ask.entriesOfType('key.')) {
    if (told.seq >= head.size) break;
    const problem = await proven(told, head, ask);
    if (typeof problem === 'string') return { reason: problem };
    const fault = history.add(problem);
    if (fault !== undefined)
      return { reason: say('The key was changed wrongly: {fault}.', { fault }) };
  }
  const before = fingerprintOf(parseVerifierKey(kept.key)!.publicKey);
  const inForce = history.keyFor(head.size);
  const trust = history.trust(before);
  const isNamed = inForce !== undefined && bytesEqual(inForce, key.publicKey);
  if (isNamed && trust.kind === 'vouched') return { notices: history.notices };
  return {
    reason:
      isNamed && trust.kind === 'broken'
        ? say(
            'The key was changed at entry {seq} without the key before it, and nobody known vouches for that.',
            { seq: trust.change.seq },
          )
        : say(
            'Another key signs this history now, and no entry of it hands the old key on to this one.',
          ),
  };
}

/** The entry, if it stands in the tree of the head. */
export async function proven(
  told: ToldEntry,
  head: Checkpoint,
  ask: LogAsking,
): Promise<Entry | string> {
  const path = await ask.inclusion(told.seq, head.size);
  if (!verifyInclusion(leafHash(told.bytes), told.seq, head, path))
    return say('Entry {seq} is not the one that the signed history holds.', { seq: told.seq });
  return parseEntry(told.bytes);
}
