/**
 * The head of a log as text: origin, size, root.
 *
 * Source: C2SP tlog-checkpoint v1. The key's name in the signature is the origin line.
 */

import { base64Of, bytesOfBase64 } from './bytes.js';
import { HASH_BYTES } from './hash.js';
import type { TreeHead } from './proof.js';
import { type NoteSigner, signNote } from './signed-note.js';

export interface Checkpoint extends TreeHead {
  origin: string;
  /** further lines, opaque; ours write none */
  extensions: readonly string[];
}

export class CheckpointError extends Error {
  override readonly name = 'CheckpointError';
}

/** @throws CheckpointError for a size or root that no tree has, or an origin that is no line */
export function checkpointText({
  origin,
  size,
  root,
}: Pick<Checkpoint, 'origin' | 'size' | 'root'>): string {
  if (origin === '' || origin.includes('\n'))
    throw new CheckpointError('the origin is one line, not empty');
  if (!Number.isSafeInteger(size) || size < 0)
    throw new CheckpointError(`${size} is no size of a log`);
  if (root.length !== HASH_BYTES)
    throw new CheckpointError(`a root has 32 bytes, got ${root.length}`);
  return `${origin}\n${size}\n${base64Of(root)}\n`;
}

/** @param text the signed text of the note, signatures taken off. @throws CheckpointError naming the line */
export function parseCheckpoint(text: string): Checkpoint {
  if (!text.endsWith('\n')) throw new CheckpointError('the last line is cut off');
  const [origin, sizeText, rootText, ...extensions] = text.slice(0, -1).split('\n');
  if (origin === undefined || origin === '')
    throw new CheckpointError('line 1, the origin, is empty');
  if (
    sizeText === undefined ||
    !/^(0|[1-9]\d*)$/.test(sizeText) ||
    !Number.isSafeInteger(Number(sizeText))
  ) {
    throw new CheckpointError('line 2 is no size: expected a decimal number without leading zeros');
  }
  const root = bytesOfBase64(rootText ?? '');
  if (root?.length !== HASH_BYTES)
    throw new CheckpointError('line 3 is no root: expected 32 bytes in base64');
  if (extensions.includes('')) throw new CheckpointError('an extension line is empty');
  return { origin, size: Number(sizeText), root, extensions };
}

/** The signed note of a head, by the key named as the origin. */
export async function signCheckpoint(
  head: Pick<Checkpoint, 'origin' | 'size' | 'root'>,
  signer: Omit<NoteSigner, 'name'>,
): Promise<string> {
  return signNote(checkpointText(head), {
    name: head.origin,
    publicKey: signer.publicKey,
    sign: (message) => signer.sign(message),
  });
}
