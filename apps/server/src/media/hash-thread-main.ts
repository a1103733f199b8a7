/** The thread's side of `hash-thread.ts`. */
import { createHash, type Hash } from 'node:crypto';
import { writeSync } from 'node:fs';
import { parentPort } from 'node:worker_threads';
import type { FromHashThread, ToHashThread } from './hash-thread.js';

/**
 * At most so many bytes a call. For longer ones Linux takes memory in pieces so large that a virtual
 * machine has given them back to its host: 8 MB took 2.4 ms of processor time in calls of 256 KiB, 9.4
 * ms in calls of 1 MiB.
 */
const WRITE_BYTES = 256 * 1024;

const hashes = new Map<number, Hash>();
const port = parentPort!;

function hashOf(id: number): Hash {
  const hash = hashes.get(id) ?? createHash('sha256');
  hashes.set(id, hash);
  return hash;
}

/** A piece is hashed while it is still near the processor. */
function writeHashed(
  hash: Hash,
  fd: number,
  pieces: readonly Uint8Array[],
  position: number,
): void {
  let at = position;
  for (const piece of pieces) {
    for (let done = 0; done < piece.length; ) {
      const length = Math.min(piece.length - done, WRITE_BYTES);
      done += writeSync(fd, piece, done, length, at + done);
    }
    at += piece.length;
    hash.update(piece);
    // memory of buffers is freed late by the collector: this thread has little else to collect
    (piece.buffer as ArrayBuffer).transfer(0);
  }
}

function answer(message: FromHashThread): void {
  port.postMessage(message);
}

port.on('message', (message: ToHashThread) => {
  const { kind, id } = message;
  switch (kind) {
    case 'copy':
      hashes.set(id, hashOf(message.copyOf).copy());
      break;
    case 'write':
      try {
        writeHashed(hashOf(id), message.fd, message.pieces, message.position);
        answer({ kind: 'written', id });
      } catch (error) {
        // an error that is sent as it is arrives without its code
        const { code, errno, syscall, message: text } = error as NodeJS.ErrnoException;
        answer({ kind: 'failed', id, message: text, system: { code, errno, syscall } });
      }
      break;
    case 'digest':
      answer({ kind: 'digest', id, digest: hashOf(id).copy().digest() });
      break;
    case 'end':
      hashes.delete(id);
  }
});
