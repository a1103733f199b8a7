/** The thread's side of `hash-thread.ts`. */
import { createHash, type Hash } from 'node:crypto';
import { parentPort } from 'node:worker_threads';
import type { FromHashThread, ToHashThread } from './hash-thread.js';

const hashes = new Map<number, Hash>();
const port = parentPort!;

port.on('message', (message: ToHashThread) => {
  const { kind, id } = message;
  switch (kind) {
    case 'begin': {
      const before = message.copyOf === undefined ? undefined : hashes.get(message.copyOf);
      hashes.set(id, before?.copy() ?? createHash('sha256'));
      break;
    }
    case 'take': {
      const hash = hashes.get(id);
      let bytes = 0;
      for (const piece of message.pieces) {
        hash?.update(piece);
        bytes += piece.length;
        // memory of buffers is freed late by the collector: this thread has little else to collect
        (piece.buffer as ArrayBuffer).transfer(0);
      }
      port.postMessage({ kind: 'taken', id, bytes } satisfies FromHashThread);
      break;
    }
    case 'digest': {
      const digest = hashes.get(id)!.copy().digest();
      port.postMessage({ kind: 'digest', id, digest } satisfies FromHashThread);
      break;
    }
    case 'end':
      hashes.delete(id);
  }
});
