/**
 * What comes in is written and hashed (SHA-256) in a thread of its own: that is the most of the processor
 * time that a file costs, and the thread that hears the network has the rest to do.
 */
import { Worker } from 'node:worker_threads';
import { Injectable } from '@nestjs/common';

export type ToHashThread =
  | { readonly kind: 'copy'; readonly id: number; readonly copyOf: number }
  | {
      readonly kind: 'write';
      readonly id: number;
      readonly fd: number;
      readonly pieces: readonly Uint8Array[];
      readonly position: number;
    }
  | { readonly kind: 'digest'; readonly id: number }
  | { readonly kind: 'end'; readonly id: number };

/** `written` and `failed` end one `write`; `digest` is of all that went in so far. */
export type FromHashThread =
  | { readonly kind: 'written'; readonly id: number }
  | {
      readonly kind: 'failed';
      readonly id: number;
      readonly message: string;
      readonly system: Pick<NodeJS.ErrnoException, 'code' | 'errno' | 'syscall'>;
    }
  | { readonly kind: 'digest'; readonly id: number; readonly digest: Uint8Array };

/** Smaller pieces are joined: each costs a call of the system and a change of hands. */
const OWN_BYTES = 16 * 1024;

interface Waiting<T> {
  readonly resolve: (value: T) => void;
  readonly reject: (error: Error) => void;
}

/** One running hash; every one begun must be ended. */
export class ThreadHash {
  readonly #writes: Waiting<undefined>[] = [];
  readonly #digests: Waiting<Buffer>[] = [];
  #failed: Error | undefined;

  constructor(
    private readonly id: number,
    private readonly thread: HashThread,
  ) {}

  /** false once its thread ended: what it had taken is not known any more */
  get isAlive(): boolean {
    return this.#failed === undefined;
  }

  /**
   * Writes pieces to an open file and hashes them; their memory is the thread's from here on. The file
   * must stay open until this is settled.
   *
   * @param position in the file, bytes
   * @throws Error what the system said, with its `code`, or that the thread ended
   */
  write(fd: number, pieces: readonly Uint8Array[], position: number): Promise<void> {
    return this.#answered(this.#writes, () => {
      const own = ownPieces(pieces);
      this.thread.post(
        { kind: 'write', id: this.id, fd, pieces: own, position },
        own.map(({ buffer }) => buffer as ArrayBuffer),
      );
    });
  }

  /** Of all that was written; more may come after. @throws Error when the thread ended */
  digest(): Promise<Buffer> {
    return this.#answered(this.#digests, () => {
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
    switch (message.kind) {
      case 'digest':
        this.#digests.shift()?.resolve(Buffer.from(message.digest));
        break;
      case 'written':
        this.#writes.shift()?.resolve(undefined);
        break;
      case 'failed':
        this.#writes.shift()?.reject(Object.assign(new Error(message.message), message.system));
    }
  }

  fail(error: Error): void {
    this.#failed = error;
    for (const { reject } of [...this.#writes, ...this.#digests]) reject(error);
  }

  /** Answers come in the order of what was asked. */
  #answered<T>(waiting: Waiting<T>[], ask: () => void): Promise<T> {
    if (this.#failed !== undefined) return Promise.reject(this.#failed);
    return new Promise((resolve, reject) => {
      ask();
      waiting.push({ resolve, reject });
    });
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
    this.#refuseWhenEnded();
    const id = ++this.#lastId;
    const hash = new ThreadHash(id, this);
    this.#running.set(id, hash);
    if (copyOf !== undefined) this.post({ kind: 'copy', id, copyOf });
    return hash;
  }

  post(message: ToHashThread, give: readonly ArrayBuffer[] = []): void {
    this.#refuseWhenEnded();
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

  #refuseWhenEnded(): void {
    if (this.#isEnded) throw new Error('the thread that hashes was ended');
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

/** The same bytes in buffers of their own: one that is cut from a larger one has neighbours that stay here. */
function ownPieces(pieces: readonly Uint8Array[]): Uint8Array[] {
  const own: Uint8Array[] = [];
  let run: Uint8Array[] = [];
  const join = () => {
    if (run.length === 0) return;
    const joined = new Uint8Array(run.reduce((sum, { length }) => sum + length, 0));
    let at = 0;
    for (const piece of run) {
      joined.set(piece, at);
      at += piece.length;
    }
    own.push(joined);
    run = [];
  };
  for (const piece of pieces) {
    if (piece.length < OWN_BYTES || !isWhole(piece)) {
      run.push(piece);
    } else {
      join();
      own.push(piece);
    }
  }
  join();
  return own;
}

function isWhole({ buffer, byteLength }: Uint8Array): boolean {
  return buffer instanceof ArrayBuffer && buffer.byteLength === byteLength;
}
