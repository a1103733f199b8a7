import { setTimeout as sleep } from 'node:timers/promises';

/** Lets through so many bytes a second, so that reading everything again disturbs nobody. */
export class Pace {
  private dueAt = Date.now();

  constructor(private readonly bytesPerS: number | undefined) {}

  async take(sizeBytes: number, signal?: AbortSignal): Promise<void> {
    signal?.throwIfAborted();
    if (this.bytesPerS === undefined) return;
    const now = Date.now();
    // what was not used is not saved up
    this.dueAt = Math.max(this.dueAt, now) + (sizeBytes / this.bytesPerS) * 1000;
    const waitMs = this.dueAt - now;
    if (waitMs > 5) await sleep(waitMs, undefined, { signal });
  }
}
