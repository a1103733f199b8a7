/**
 * What a log sends a witness: the size that the witness knows, a consistency proof from there, and
 * the new checkpoint.
 *
 * Form: `old SIZE`, then one base64 hash a line, one empty line, the signed note.
 * Source: C2SP tlog-witness, "add-checkpoint".
 */

import { base64Of, bytesOfBase64 } from './bytes.js';
import { HASH_BYTES } from './hash.js';

export const ADD_CHECKPOINT = 'add-checkpoint';

/** C2SP tlog-witness: no more than 63 proof lines. */
const PROOF_LINES_MAX = 63;
const REQUEST_CHARS_MAX = 1_000_000;

export interface CosignRequest {
  /** size of the last checkpoint that the witness cosigned; 0 for none */
  oldSize: number;
  /** RFC 6962 consistency proof from the old size to the checkpoint's */
  proof: readonly Uint8Array[];
  /** the signed checkpoint, whole */
  note: string;
}

export class CosignRequestError extends Error {
  override readonly name = 'CosignRequestError';
}

export function formatCosignRequest({ oldSize, proof, note }: CosignRequest): string {
  return `old ${oldSize}\n${proof.map((hash) => `${base64Of(hash)}\n`).join('')}\n${note}`;
}

/** @throws CosignRequestError naming the line that is not as the form says */
export function parseCosignRequest(text: string): CosignRequest {
  if (text.length > REQUEST_CHARS_MAX)
    throw new CosignRequestError('the request is longer than any checkpoint with its proof');
  const end = text.indexOf('\n\n');
  if (end < 0)
    throw new CosignRequestError('there is no empty line between the proof and the checkpoint');
  const [first, ...hashes] = text.slice(0, end).split('\n');
  const size = /^old (0|[1-9]\d*)$/.exec(first!)?.[1];
  if (size === undefined || !Number.isSafeInteger(Number(size)))
    throw new CosignRequestError('line 1 is not `old` and a size without leading zeros');
  if (hashes.length > PROOF_LINES_MAX)
    throw new CosignRequestError(`the proof has more than ${PROOF_LINES_MAX} lines`);
  const proof = hashes.map((line, at) => {
    const hash = bytesOfBase64(line);
    if (hash?.length !== HASH_BYTES)
      throw new CosignRequestError(`line ${at + 2} is no hash: expected 32 bytes in base64`);
    return hash;
  });
  return { oldSize: Number(size), proof, note: text.slice(end + 2) };
}
