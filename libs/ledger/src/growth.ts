/**
 * Whether the head a server shows now grew from the head seen before.
 *
 * Every phone and browser keeps the last checkpoint it saw and refuses a server that cannot prove
 * consistency with it: so a history that was rewritten, or set back, is noticed by whoever was there.
 */

import { type Checkpoint, parseCheckpoint } from './checkpoint.js';
import type { VerifySignature } from './ed25519.js';
import { type TreeHasher, treeHasher } from './hash.js';
import { verifyConsistency } from './proof.js';
import { openNote } from './signed-note.js';
import type { VerifierKey } from './verifier-key.js';

export type Growth = { ok: true; head: Checkpoint } | { ok: false; reason: string };

/**
 * @param keptNote the checkpoint kept from before; undefined on the first visit
 * @param proof consistency proof from the kept size to the new one; empty for equal sizes
 * @param key the archive's key for this log, kept since the first visit
 */
export function verifyGrowth(
  keptNote: string | undefined,
  newNote: string,
  proof: readonly Uint8Array[],
  key: VerifierKey,
  { verify, hasher = treeHasher() }: { verify?: VerifySignature; hasher?: TreeHasher } = {},
): Growth {
  const now = openHead(newNote, key, verify);
  if (typeof now === 'string') return { ok: false, reason: `the server's checkpoint ${now}` };
  if (keptNote === undefined) return { ok: true, head: now };
  const kept = openHead(keptNote, key, verify);
  if (typeof kept === 'string') return { ok: false, reason: `the checkpoint kept here ${kept}` };
  if (kept.origin !== now.origin) {
    return { ok: false, reason: `the server shows the log ${now.origin}, not ${kept.origin}` };
  }
  if (now.size < kept.size) {
    return {
      ok: false,
      reason: `the server shows ${now.size} entries, ${kept.size} were there before: it was set back`,
    };
  }
  return verifyConsistency(kept, now, proof, hasher)
    ? { ok: true, head: now }
    : {
        ok: false,
        reason: `the server cannot prove that its history contains the ${kept.size} entries seen before`,
      };
}

function openHead(note: string, key: VerifierKey, verify?: VerifySignature): Checkpoint | string {
  try {
    const opened = openNote(note, [key], verify);
    if (opened.verified.length === 0 || opened.failed.length > 0) {
      return 'is not signed by the key of this archive';
    }
    return parseCheckpoint(opened.text);
  } catch (cause) {
    return `cannot be read: ${cause instanceof Error ? cause.message : String(cause)}`;
  }
}
