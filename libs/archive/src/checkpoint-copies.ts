/**
 * Copies of signed heads beside the objects, so that a database rewritten later can be told. No
 * entry waits for its copy. While a log is written fast, heads that a newer one has overtaken are not
 * copied: each newer head stands for all before it.
 */
import { setTimeout as sleep } from 'node:timers/promises';
import { type CopyPorts, copyCheckpoint } from './checkpoint-copy.js';
import type { SignedHead } from './log-head.js';

/** Between two copies of one log, so that copies take no part of the disk's flushes. */
const PAUSE_MS = 500;

interface ClockedCopyPorts extends CopyPorts {
  readonly clock: () => number;
}

export class CheckpointCopies {
  readonly #waiting = new Map<string, SignedHead>();
  readonly #running = new Map<string, Promise<void>>();
  readonly #closing = new AbortController();

  constructor(private readonly ports: ClockedCopyPorts) {}

  add(heads: readonly SignedHead[]): void {
    for (const head of heads) {
      this.#waiting.set(head.logId, head);
      if (this.#running.has(head.logId)) continue;
      this.#running.set(head.logId, this.#copy(head.logId));
    }
  }

  /** Waits until the newest head of each log is copied. */
  async close(): Promise<void> {
    this.#closing.abort();
    await Promise.all(this.#running.values());
  }

  async #copy(logId: string): Promise<void> {
    await Promise.resolve(); // so that it stands among the running before it can end
    for (;;) {
      const head = this.#waiting.get(logId);
      if (head === undefined) {
        this.#running.delete(logId);
        return;
      }
      this.#waiting.delete(logId);
      await copyCheckpoint(this.ports, head, new Date(this.ports.clock()));
      await this.#pause();
    }
  }

  async #pause(): Promise<void> {
    if (this.#closing.signal.aborted) return;
    await sleep(PAUSE_MS, undefined, { ref: false, signal: this.#closing.signal }).catch(
      () => undefined,
    );
  }
}
