import { createHash, type Hash } from 'node:crypto';
import { type FileHandle, open, rm } from 'node:fs/promises';
import type { Readable } from 'node:stream';
import { BlockWriter } from '#libs/objects';
import { Problem } from '#libs/problem';
import type { AnnouncedDigests } from './content-digest.js';
import { eachChunk } from './each-chunk.js';
import type { HashThread, ThreadHash } from './hash-thread.js';

export interface ReceivedFile {
  path: string;
  digest: string;
  sizeBytes: number;
  /** resolves once all of it would survive a power cut; nothing may be acknowledged before */
  flushed: Promise<void>;
}

/**
 * Writes a body to a file of its own, hashing in the same pass. The flush is under way when this
 * resolves: what else must be found out of the file need not wait for it.
 *
 * @param path must not exist; removed again on any refusal
 * @throws {Problem} `body-too-large`, `upload-truncated`, `upload-digest-mismatch`
 */
export async function receiveFile(
  body: Readable,
  path: string,
  hashing: HashThread,
  expected: { maxBytes: number; lengthBytes?: number; digests?: AnnouncedDigests },
): Promise<ReceivedFile> {
  // as the store keeps it: nobody needs to change that
  const handle = await open(path, 'wx', 0o444);
  const sha256 = hashing.begin();
  try {
    const wantsSha512 = expected.digests?.has('sha512') === true;
    const sha512 = wantsSha512 ? createHash('sha512') : undefined;
    const hashes = { whole: sha256, ofPart: sha512 };
    const sizeBytes = await appendHashed(body, handle, 0, expected.maxBytes, hashes);
    if (expected.lengthBytes !== undefined && sizeBytes !== expected.lengthBytes) {
      throw truncated(sizeBytes, expected.lengthBytes);
    }
    const found = await sha256.digest();
    check('sha256', expected.digests, found);
    if (sha512 !== undefined) check('sha512', expected.digests, sha512.digest());
    const flushed = flushAndClose(handle);
    return { path, digest: `sha256:${found.toString('hex')}`, sizeBytes, flushed };
  } catch (error) {
    await handle.close().catch(() => undefined); // closed already; the first error counts
    await rm(path, { force: true });
    throw isBrokenOff(error) ? truncated(undefined, expected.lengthBytes, error) : error;
  } finally {
    sha256.end();
  }
}

/**
 * Appends a body to an open file; each block is hashed by the thread while more comes. The chunks are
 * used up.
 *
 * @param hashes of the file as a whole, and of what comes now
 * @returns bytes taken
 * @throws {Problem} `body-too-large` once more than `maxBytes` arrive; the file holds what fitted
 */
export async function appendHashed(
  body: Readable,
  handle: FileHandle,
  offsetBytes: number,
  maxBytes: number,
  { whole, ofPart }: { whole?: ThreadHash | undefined; ofPart?: Hash | undefined },
): Promise<number> {
  const writer = new BlockWriter(handle, offsetBytes, whole && ((pieces) => whole.take(pieces)));
  let taken = 0;
  try {
    await eachChunk(body, (chunk) => {
      if (taken + chunk.length > maxBytes) {
        throw new Problem(
          'body-too-large',
          `More than ${maxBytes} bytes arrived; that is the most taken here. Send a smaller file.`,
          { maxBytes },
        );
      }
      ofPart?.update(chunk);
      taken += chunk.length;
      return writer.add(chunk);
    });
  } finally {
    await writer.end();
  }
  return taken;
}

/** Flushes a file that is not written any more. A failure is told to whoever awaits it, not before. */
export function flushAndClose(handle: FileHandle): Promise<void> {
  const flushed = handle.sync().finally(() => handle.close());
  flushed.catch(() => undefined);
  return flushed;
}

/** True for a sender that went away in the middle of its body. */
export function isBrokenOff(error: unknown): boolean {
  const { code } = error as { code?: unknown };
  return code === 'ECONNRESET' || code === 'ERR_STREAM_PREMATURE_CLOSE' || code === 'ABORT_ERR';
}

function check(name: 'sha256' | 'sha512', digests: AnnouncedDigests | undefined, found: Buffer) {
  const announced = digests?.get(name);
  if (announced === undefined || announced.equals(found)) return;
  throw new Problem(
    'upload-digest-mismatch',
    'Content-Digest: the bytes that arrived are others than announced. Nothing was kept; send the file again.',
    { field: 'Content-Digest' },
  );
}

function truncated(
  sizeBytes: number | undefined,
  lengthBytes: number | undefined,
  cause?: unknown,
): Problem {
  return new Problem(
    'upload-truncated',
    `The connection ended${sizeBytes === undefined ? '' : ` after ${sizeBytes} bytes`}${lengthBytes === undefined ? '' : ` of ${lengthBytes}`}. Nothing was kept; send the file again, or use the resumable upload.`,
    {},
    { cause },
  );
}
