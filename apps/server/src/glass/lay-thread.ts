/** Pieces are laid on sheets in a thread of its own: that takes seconds, in which the server goes on answering. */
import { Worker } from 'node:worker_threads';
import { Injectable, type OnModuleDestroy } from '@nestjs/common';
import { RecentCache } from '#libs/archive';
import type { Cutting, LayPieces } from '#libs/cutting';

export interface ToLayThread {
  readonly id: number;
  readonly asked: Parameters<LayPieces>;
}

export type FromLayThread =
  | { readonly id: number; readonly cutting: Cutting }
  | { readonly id: number; readonly broken: string };

interface Waiting {
  readonly resolve: (cutting: Cutting) => void;
  readonly reject: (error: Error) => void;
}

/** List, cost, table and paper ask for the same one after the other. */
const KEPT = 32;

@Injectable()
export class LayThread implements OnModuleDestroy {
  readonly #kept = new RecentCache<Promise<Cutting>>(KEPT);
  readonly #running = new Map<number, Waiting>();
  #worker: Worker | undefined;
  #lastId = 0;

  /** One after the other; what was laid of late is told again. @throws Error when the thread ended */
  lay(...asked: Parameters<LayPieces>): Promise<Cutting> {
    const key = JSON.stringify(asked);
    const known = this.#kept.get(key);
    if (known !== undefined) return known;
    const laying = this.#ask(asked);
    this.#kept.set(key, laying);
    laying.catch(() => {
      this.#kept.remove(key);
    });
    return laying;
  }

  async onModuleDestroy(): Promise<void> {
    await this.#worker?.terminate();
  }

  #ask(asked: Parameters<LayPieces>): Promise<Cutting> {
    const id = ++this.#lastId;
    return new Promise((resolve, reject) => {
      this.#running.set(id, { resolve, reject });
      this.#worker ??= this.#start();
      this.#worker.postMessage({ id, asked } satisfies ToLayThread);
    });
  }

  #start(): Worker {
    const { url } = import.meta;
    const script = `./lay-thread-main.${url.endsWith('.ts') ? 'ts' : 'js'}`;
    const worker = new Worker(new URL(script, url));
    worker.unref(); // an open request keeps the process, not this
    worker.on('message', (told: FromLayThread) => {
      const running = this.#running.get(told.id);
      this.#running.delete(told.id);
      if ('cutting' in told) running?.resolve(told.cutting);
      else running?.reject(new Error(`laying the pieces failed: ${told.broken}`));
    });
    worker.on('error', (error) => {
      console.error('the thread that lays pieces failed:', error);
    });
    worker.on('exit', () => {
      if (this.#worker === worker) this.#worker = undefined; // the next list starts another
      for (const { reject } of this.#running.values()) {
        reject(new Error('the thread that lays pieces ended'));
      }
      this.#running.clear();
    });
    return worker;
  }
}
