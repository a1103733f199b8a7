/**
 * SHA-256 of what comes in, in a thread of its own: hashing is half of the processor time that a file
 * costs, and the thread that hears the network has the other half to do.
 */
import { Worker } from 'node:worker_threads';
import { Injectable } from '@nestjs/common';

export type ToHashThread =
  | { readonly kind: 'begin'; readonly id: number; readonly copyOf: number | undefined }
  | { readonly kind: 'take'; readonly id: number; readonly pieces: readonly Uint8Array[] }
  | { readonly kind: 'digest'; readonly id: number }
  | { readonly kind: 'end'; readonly id: number };

/** `taken` bytes of a hash have gone in; `digest` of all that went in so far */
export type FromHashThread =
  | { readonly kind: 'taken'; readonly id: number; readonly bytes: number }
  | { readonly kind: 'digest'; readonly id: number; readonly digest: Uint8Array };

/** Bytes handed over and not hashed yet before the sender is kept waiting. */
const AHEAD_BYTES = 8 * 2 ** 20;

interface Waiting {
  readonly resolve: () => void;
  readonly reject: (error: Error) => void;
}

/** One running hash; every one begun must be ended. */
export class ThreadHash {
  #aheadBytes = 0;
  #waiting: Waiting | undefined;
  #failed: Error | undefined;
  readonly #digests: { resolve: (digest: Buffer) => void; reject: (error: Error) => void }[] = [];

  constructor(
    private readonly id: number,
    private readonly thread: HashThread,
  ) {}

  /** false once its thread ended: what it had taken is not known any more */
  get isAlive(): boolean {
    return this.#failed === undefined;
  }

  /**
   * Takes pieces, whose memory is the thread's from here on. Resolves when more may come.
   *
   * @throws Error when the thread ended
   */
  async take(pieces: readonly Uint8Array[]): Promise<void> {
    if (this.#failed !== undefined) throw this.#failed;
    // a buffer cut from a larger one has neighbours that stay here
    const own = pieces.map((piece) => (isWhole(piece) ? piece : Uint8Array.from(piece)));
    this.#aheadBytes += own.reduce((sum, { length }) => sum + length, 0);
    this.thread.post(
      { kind: 'take', id: this.id, pieces: own },
      own.map(({ buffer }) => buffer as ArrayBuffer),
    );
    if (this.#aheadBytes <= AHEAD_BYTES) return;
    await new Promise<void>((resolve, reject) => {
      this.#waiting = { resolve, reject };
    });
  }

  /** Of all that was taken; more may come after. @throws Error when the thread ended */
  digest(): Promise<Buffer> {
    if (this.#failed !== undefined) return Promise.reject(this.#failed);
    return new Promise((resolve, reject) => {
      this.#digests.push({ resolve, reject });
      this.thread.post({ kind: 'digest', id: this.id });
    });
  }

  /** Another that has taken the same so far. */
  copy(): ThreadHash {
    return this.thread.begin(this.id);
  }

  end(): void {
    this.thread.forget(this.id);
  }

  hear(message: FromHashThread): void {
    if (message.kind === 'digest') {
      this.#digests.shift()?.resolve(Buffer.from(message.digest));
      return;
    }
    this.#aheadBytes -= message.bytes;
    if (this.#aheadBytes > AHEAD_BYTES) return;
    this.#waiting?.resolve();
    this.#waiting = undefined;
  }

  fail(error: Error): void {
    this.#failed = error;
    this.#waiting?.reject(error);
    for (const { reject } of this.#digests) reject(error);
  }
}

@Injectable()
export class HashThread {
  readonly #running = new Map<number, ThreadHash>();
  #worker: Worker | undefined;
  #lastId = 0;
  #isEnded = false;

  /** @param copyOf id of a running hash whose bytes count for this one too */
  begin(copyOf?: number): ThreadHash {
    const id = ++this.#lastId;
    const hash = new ThreadHash(id, this);
    this.#running.set(id, hash);
    this.post({ kind: 'begin', id, copyOf });
    return hash;
  }

  post(message: ToHashThread, give: readonly ArrayBuffer[] = []): void {
    if (this.#isEnded) throw new Error('the thread that hashes was ended');
    this.#worker ??= this.#start();
    this.#worker.postMessage(message, give);
  }

  forget(id: number): void {
    if (!this.#running.delete(id)) return;
    this.#worker?.postMessage({ kind: 'end', id } satisfies ToHashThread);
  }

  async end(): Promise<void> {
    this.#isEnded = true;
    await this.#worker?.terminate();
  }

  #start(): Worker {
    const { url } = import.meta;
    const script = `./hash-thread-main.${url.endsWith('.ts') ? 'ts' : 'js'}`;
    const worker = new Worker(new URL(script, url));
    worker.unref(); // an open request keeps the process, not this
    worker.on('message', (message: FromHashThread) => {
      this.#running.get(message.id)?.hear(message);
    });
    worker.on('error', (error) => {
      console.error('the thread that hashes failed:', error);
    });
    worker.on('exit', () => {
      // what it knew is gone; the next file starts another
      if (this.#worker === worker) this.#worker = undefined;
      const error = new Error('the thread that hashes ended');
      for (const hash of this.#running.values()) hash.fail(error);
      this.#running.clear();
    });
    return worker;
  }
}

function isWhole({ buffer, byteLength }: Uint8Array): boolean {
  return buffer instanceof ArrayBuffer && buffer.byteLength === byteLength;
}
