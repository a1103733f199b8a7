/**
 * One proof as a text of its own: place in the log, audit path, signed checkpoint.
 *
 * Source: C2SP tlog-proof v1 (file ending `.tlog-proof`); the path is that of RFC 6962 section 2.1.1.
 */

import { base64Of, bytesOfBase64 } from './bytes.js';
import { HASH_BYTES } from './hash.js';

const FIRST_LINE = 'c2sp.org/tlog-proof@v1';

export interface ProofFile {
  index: number;
  hashes: readonly Uint8Array[];
  /** the signed note, with any cosignatures */
  checkpointNote: string;
}

export class ProofFileError extends Error {
  override readonly name = 'ProofFileError';
}

export function proofFileText({ index, hashes, checkpointNote }: ProofFile): string {
  return [FIRST_LINE, `index ${index}`, ...hashes.map(base64Of), '', checkpointNote].join('\n');
}

/** Extra data, which nothing authenticates, are passed over. @throws ProofFileError naming the line */
export function parseProofFile(text: string): ProofFile {
  const end = text.indexOf('\n\n');
  if (end < 0) throw new ProofFileError('no empty line between the proof and the checkpoint');
  const lines = text.slice(0, end).split('\n');
  if (lines.shift() !== FIRST_LINE) throw new ProofFileError(`line 1 is not ${FIRST_LINE}`);
  const extra = lines[0]?.startsWith('extra ') === true ? lines.shift() : undefined;
  if (extra !== undefined && bytesOfBase64(extra.slice('extra '.length)) === undefined)
    throw new ProofFileError('the extra data are no base64');
  const index = /^index (0|[1-9]\d*)$/.exec(lines.shift() ?? '')?.[1];
  if (index === undefined || !Number.isSafeInteger(Number(index)))
    throw new ProofFileError('no line "index N"');
  const hashes = lines.map((line, at) => {
    const hash = bytesOfBase64(line);
    if (hash?.length !== HASH_BYTES) throw new ProofFileError(`hash ${at + 1} is no hash`);
    return hash;
  });
  return { index: Number(index), hashes, checkpointNote: text.slice(end + 2) };
}
