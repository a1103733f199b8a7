import { createHash } from 'node:crypto';
import { Readable } from 'node:stream';
import { finished } from 'node:stream/promises';
import { isFault, ObjectStoreError } from './object-store.js';

/**
 * The bytes of a whole object, hashed on their way. One chunk is held back until the digest is known,
 * so that no reader ever holds a complete copy of damaged bytes.
 *
 * @throws {ObjectStoreError} (as the stream's error) `object-damaged`
 */
export function checkedStream(digest: string, source: Readable): Readable {
  const checked = Readable.from(checkedChunks(digest, source), { objectMode: false });
  // who stops reading closes the file or connection below as well
  checked.once('close', () => source.destroy());
  return checked;
}

async function* checkedChunks(
  digest: string,
  source: AsyncIterable<Uint8Array>,
): AsyncGenerator<Uint8Array> {
  const hash = createHash('sha256');
  let sizeBytes = 0;
  let held: Uint8Array | undefined;
  for await (const chunk of source) {
    hash.update(chunk);
    sizeBytes += chunk.length;
    if (held !== undefined) yield held;
    held = chunk;
  }
  const found = `sha256:${hash.digest('hex')}`;
  if (found !== digest) {
    throw new ObjectStoreError(
      'object-damaged',
      `what lies under ${digest} is damaged: its ${sizeBytes} bytes have digest ${found}`,
    );
  }
  if (held !== undefined) yield held;
}

/** Exactly `sizeBytes` bytes, or an error: a line that breaks off must not look like an end. */
export function exactStream(digest: string, source: Readable, sizeBytes: number): Readable {
  const exact = Readable.from(
    (async function* () {
      let seen = 0;
      for await (const chunk of source as AsyncIterable<Uint8Array>) {
        seen += chunk.length;
        yield chunk;
      }
      if (seen === sizeBytes) return;
      throw new ObjectStoreError(
        'store-unavailable',
        `the store gave ${seen} of ${sizeBytes} bytes of ${digest}`,
      );
    })(),
    { objectMode: false },
  );
  exact.once('close', () => source.destroy());
  return exact;
}

/** Reads a {@link checkedStream} to its end and tells whether its digest held. */
export async function isWhole(source: Readable): Promise<boolean> {
  try {
    await finished(source.resume());
    return true;
  } catch (error) {
    if (isFault(error, 'object-damaged')) return false;
    throw error;
  }
}
