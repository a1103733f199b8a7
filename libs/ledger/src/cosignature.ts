/**
 * A witness's part: whether to cosign a checkpoint, and what a log takes from its answer.
 *
 * A witness says with its cosignature: at this time, this was the largest head of this log that I
 * knew, and it grew from every head that I cosigned before. It says nothing of the entries.
 * Source: C2SP tlog-witness (order and status of refusals), C2SP tlog-cosignature v1.
 */

import { bytesEqual } from './bytes.js';
import { type Checkpoint, CheckpointError, parseCheckpoint } from './checkpoint.js';
import type { CosignRequest } from './cosign-request.js';
import type { VerifySignature } from './ed25519.js';
import { type TreeHasher, treeHasher } from './hash.js';
import { type TreeHead, verifyConsistency } from './proof.js';
import {
  cosignNote,
  NoteError,
  type NoteSigner,
  openNote,
  parseNote,
  signatureLineOf,
} from './signed-note.js';
import { COSIGNATURE_TYPE, type VerifierKey, verifierKey } from './verifier-key.js';

export type CosignJudgement =
  | { ok: true; head: Checkpoint }
  | {
      ok: false;
      status: 400 | 403 | 404 | 409 | 422;
      reason: string;
      /** with 409: the size that the witness cosigned last */
      knownSize?: number;
    };

/** The origin line of the checkpoint in a request; undefined when it is no checkpoint. */
export function originAsked({ note }: CosignRequest): string | undefined {
  try {
    return parseCheckpoint(parseNote(note).text).origin;
  } catch {
    return undefined;
  }
}

/**
 * Whether a witness may cosign. Pure: the caller holds the log's record locked from before it read
 * `known` until the new head is stored, and answers only then.
 *
 * @param keys verifier keys that the witness trusts for the checkpoint's origin; undefined for an
 * origin it does not know
 * @param known the head it cosigned last for this origin, if any
 */
export function judgeCosigning(
  request: CosignRequest,
  keys: readonly VerifierKey[] | undefined,
  known: TreeHead | undefined,
  { verify, hasher = treeHasher() }: { verify?: VerifySignature; hasher?: TreeHasher } = {},
): CosignJudgement {
  const refuse = (
    status: 400 | 403 | 404 | 409 | 422,
    reason: string,
    knownSize?: number,
  ): CosignJudgement => ({
    ok: false,
    status,
    reason,
    ...(knownSize !== undefined && { knownSize }),
  });
  let head: Checkpoint;
  try {
    head = parseCheckpoint(parseNote(request.note).text);
  } catch (cause) {
    if (!(cause instanceof NoteError || cause instanceof CheckpointError)) throw cause;
    return refuse(400, `the checkpoint cannot be read: ${cause.message}`);
  }
  if (keys === undefined) return refuse(404, `the log ${head.origin} is not witnessed here`);
  const opened = openNote(request.note, keys, verify);
  if (opened.verified.length === 0 || opened.failed.length > 0)
    return refuse(403, `no key trusted for ${head.origin} signed this checkpoint`);
  if (request.oldSize > head.size)
    return refuse(
      400,
      `the old size ${request.oldSize} is more than the checkpoint's ${head.size}`,
    );
  const knownSize = known?.size ?? 0;
  if (request.oldSize !== knownSize)
    return refuse(409, `the last head cosigned here has ${knownSize} entries`, knownSize);
  if (known === undefined || known.size === 0)
    return request.proof.length === 0
      ? { ok: true, head }
      : refuse(422, 'a proof from size 0 is empty');
  if (known.size === head.size && !bytesEqual(known.root, head.root))
    return refuse(409, `another tree of ${head.size} entries was cosigned here`, knownSize);
  return verifyConsistency(known, head, request.proof, hasher)
    ? { ok: true, head }
    : refuse(422, `the proof does not show that the ${known.size} entries cosigned here stayed`);
}

/** The one line with which a witness cosigns. @param atSeconds POSIX time of the witness */
export async function cosignatureLine(
  note: string,
  witness: NoteSigner,
  atSeconds: number,
): Promise<string> {
  return (await cosignNote(note, witness, atSeconds)).slice(note.length);
}

/** A cosignature that holds: who, when, and its line for the note. */
export interface Cosignature {
  key: VerifierKey;
  /** POSIX seconds of the witness; undefined for a plain signature */
  atSeconds?: number;
  /** with the line feed */
  line: string;
}

/**
 * What a log takes from a witness's answer: valid signatures by the keys it configured, no others.
 * @throws NoteError `malformed` when the answer is no signature lines
 */
export function takeCosignatures(
  note: string,
  answer: string,
  keys: readonly VerifierKey[],
  verify?: VerifySignature,
): Cosignature[] {
  return cosignaturesOn(`${parseNote(note).text}\n${answer}`, keys, verify);
}

/** Valid signatures on a note by the given keys, the log's own left out when it is not among them. */
export function cosignaturesOn(
  note: string,
  keys: readonly VerifierKey[],
  verify?: VerifySignature,
): Cosignature[] {
  const { text, signatures } = parseNote(note);
  const found: Cosignature[] = [];
  for (const signature of signatures) {
    const line = signatureLineOf(signature);
    const [verified] = openNote(`${text}\n${line}`, keys, verify).verified;
    if (verified === undefined || found.some((one) => one.key === verified.key)) continue;
    found.push({
      key: verified.key,
      line,
      ...(verified.at !== undefined && { atSeconds: verified.at }),
    });
  }
  return found;
}

/**
 * The keys under which a witness may have signed. A plain key (type 1) stands for the cosignatures
 * of the same holder too, since many hand out only that form.
 */
export function witnessKeyForms(key: VerifierKey): VerifierKey[] {
  return key.type === COSIGNATURE_TYPE
    ? [key]
    : [key, verifierKey(key.name, key.publicKey, COSIGNATURE_TYPE)];
}
