import { once } from 'node:events';
import { Worker } from 'node:worker_threads';
import type { AskedAssembly, ShardsProposal } from '#libs/archive';
import { Problem } from '#libs/problem';
import type { ThreadProgram } from './read-rubbing.js';

/** One shard's picture, its pixels in a file that may go once it was read. */
export interface ShardFile {
  readonly kind: 'picture';
  readonly shard: string;
  /** widthPx × heightPx × 3 bytes, sRGB, row-major */
  readonly path: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly pxPerMm: number;
}

export interface AssembleAsk
  extends Pick<AskedAssembly, 'outlineMm' | 'isEitherFace' | 'locked' | 'apart'> {
  readonly kind: 'assemble';
}

export type ShardsMessage =
  | { kind: 'read' }
  | { kind: 'progress'; ratio: number }
  | { kind: 'proposed'; proposal: ShardsProposal }
  | { kind: 'refused'; message: string; fault: string; shard: string | null }
  | { kind: 'broken'; stack: string };

export const SHARDS_THREAD: ThreadProgram = {
  script: new URL('./assemble-shards-thread.js', import.meta.url),
};

/** Reads shards one picture at a time, then looks how they lie together: in a thread, so that the worker stays awake. */
export class ShardsBench {
  readonly #thread: Worker;
  readonly #signal: AbortSignal;
  readonly #stop = (): void => void this.#thread.terminate();

  constructor({ script, ...options }: ThreadProgram, signal: AbortSignal) {
    signal.throwIfAborted();
    this.#thread = new Worker(script, options);
    this.#signal = signal;
    signal.addEventListener('abort', this.#stop, { once: true });
  }

  /** @throws {Problem} `shards-unreadable` with the sentence of the lib that refused */
  async read(picture: ShardFile): Promise<void> {
    await this.#asked(picture, () => undefined);
  }

  /** @throws {Problem} `shards-unreadable` */
  async assemble(ask: AssembleAsk, onProgress: (ratio: number) => void): Promise<ShardsProposal> {
    const told = await this.#asked(ask, onProgress);
    if (told.kind !== 'proposed') throw new Error(`the thread answered ${told.kind}`);
    return told.proposal;
  }

  async close(): Promise<void> {
    this.#signal.removeEventListener('abort', this.#stop);
    await this.#thread.terminate();
  }

  async #asked(
    ask: ShardFile | AssembleAsk,
    onProgress: (ratio: number) => void,
  ): Promise<ShardsMessage> {
    this.#thread.postMessage(ask);
    for (;;) {
      const message = await this.#next();
      if (message.kind === 'read' || message.kind === 'proposed') return message;
      if (message.kind === 'progress') onProgress(message.ratio);
      else if (message.kind === 'broken')
        throw new Error(`assembling the shards failed: ${message.stack}`);
      else {
        const { fault, shard } = message;
        throw new Problem('shards-unreadable', message.message, { fault, shard: shard ?? '' });
      }
    }
  }

  async #next(): Promise<ShardsMessage> {
    // one that ends without a word would be waited for for ever
    const ended = new AbortController();
    const { signal } = ended;
    try {
      return await Promise.race([
        once(this.#thread, 'message', { signal }).then(([message]) => message as ShardsMessage),
        once(this.#thread, 'exit', { signal }).then(([code]) => {
          throw new Error(
            this.#signal.aborted ? 'stopped' : `the thread ended with ${String(code)}`,
          );
        }),
      ]);
    } finally {
      ended.abort();
    }
  }
}
