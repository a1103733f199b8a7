/**
 * Whether the archive holds a picture, proven in this page: the entry that its receipt names carries the
 * picture's digest, and stands in a history that is signed and grew from what this browser keeps.
 */
import {
  type Checkpoint,
  type Entry,
  leafHash,
  openNote,
  parseCheckpoint,
  parseEntry,
  parseVerifierKey,
  verifyInclusion,
} from '#libs/ledger';
import { compareArchive } from '../../ledger/compare-archive.js';
import { type KeptHead, keptHead } from '../../ledger/kept-heads.js';
import { readEntry, readInclusion } from '../../platform/api/ledger.js';
import { say } from '../../platform/language/say.js';
import type { Receipt } from './picture.js';

/** The archive did not prove that it holds the picture; the device's copy stays. */
export class NotProven extends Error {
  override readonly name = 'NotProven';
}

/**
 * @param sha256 hex digest of the bytes on this device
 * @returns the number of entries of the signed head under which it was proven
 * @throws as {@link proveHeld}
 */
export const proveReceipt = (
  archive: Archive,
  receipt: Receipt,
  sha256: string,
  signal: AbortSignal,
): Promise<number> =>
  proveHeld(
    archive,
    receipt,
    ({ objects }) => objects.some(({ digest }) => digest === `sha256:${sha256}`),
    say('this picture'),
    signal,
  );

interface Archive {
  readonly archiveId: string;
  readonly isDemo: boolean;
}

/**
 * @param isIt whether the entry is about what lies on this device
 * @param what that is called: 'this picture'
 * @returns the number of entries of the signed head under which it was proven
 * @throws NotProven naming what does not hold; Refused or TypeError when the archive did not answer
 */
export async function proveHeld(
  archive: Archive,
  { logId, seq }: { readonly logId: string; readonly seq: number },
  isIt: (entry: Entry) => boolean,
  what: string,
  signal: AbortSignal,
): Promise<number> {
  let kept = await keptHead(archive.archiveId, logId);
  if (kept === undefined || kept.size <= seq) {
    const compared = await compareArchive(archive, signal);
    if (compared.kind === 'unreachable') throw new TypeError(compared.why);
    if (compared.kind !== 'good') {
      throw new NotProven(
        say(
          'The archive’s history is not the one that this phone saw before. Nothing leaves this phone until somebody has looked at the studio’s start page.',
        ),
      );
    }
    kept = await keptHead(archive.archiveId, logId);
  }
  if (kept === undefined || kept.size <= seq)
    throw new NotProven(say('The archive has not signed the entry yet.'));
  const head = headOf(kept);
  const [told, path] = await Promise.all([
    readEntry(logId, seq, signal),
    readInclusion(logId, seq, head.size, signal),
  ]);
  if (!verifyInclusion(leafHash(told.bytes), seq, head, path))
    throw new NotProven(say('Entry {seq} is not in the signed history.', { seq }));
  const entry = parseEntry(told.bytes);
  if (entry.seq !== seq || entry.log !== head.origin || !isIt(entry))
    throw new NotProven(say('Entry {seq} is not about {what}.', { seq, what }));
  return head.size;
}

function headOf({ note, key }: KeptHead): Checkpoint {
  const verifier = parseVerifierKey(key);
  const opened = verifier && openNote(note, [verifier]);
  if (opened === undefined || opened.verified.length === 0)
    throw new NotProven(say('The checkpoint kept here is not signed by the key kept here.'));
  return parseCheckpoint(opened.text);
}
