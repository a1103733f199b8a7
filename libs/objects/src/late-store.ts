import type { Readable } from 'node:stream';
import type {
  ByteRange,
  ByteSource,
  Leftover,
  ListedObject,
  NamedOptions,
  PutOptions,
  StoredBytes,
  TakeOptions,
  TendedStore,
} from './object-store.js';

/**
 * A store that is opened by its first use, and again after every failure to open: whoever holds one
 * can start while the store is away.
 */
export class LateStore implements TendedStore {
  private opened: Promise<TendedStore> | undefined;

  constructor(private readonly open: () => Promise<TendedStore>) {}

  /** @throws {ObjectStoreError} what opening it said */
  async store(): Promise<TendedStore> {
    this.opened ??= this.open();
    try {
      return await this.opened;
    } catch (error) {
      this.opened = undefined;
      throw error;
    }
  }

  async put(source: ByteSource, options?: PutOptions): Promise<StoredBytes> {
    return (await this.store()).put(source, options);
  }

  async putFile(path: string, known: StoredBytes, options?: TakeOptions): Promise<StoredBytes> {
    return (await this.store()).putFile(path, known, options);
  }

  async has(digest: string): Promise<boolean> {
    return (await this.store()).has(digest);
  }

  async sizeOf(digest: string): Promise<number> {
    return (await this.store()).sizeOf(digest);
  }

  async read(digest: string, range?: ByteRange): Promise<Readable> {
    return (await this.store()).read(digest, range);
  }

  async readRange(digest: string, start: number, end: number): Promise<Uint8Array> {
    return (await this.store()).readRange(digest, start, end);
  }

  async *list(after?: string): AsyncGenerator<ListedObject> {
    yield* (await this.store()).list(after);
  }

  async remove(digest: string): Promise<void> {
    await (await this.store()).remove(digest);
  }

  async destroy(digest: string): Promise<void> {
    await (await this.store()).destroy(digest);
  }

  async putNamed(key: string, bytes: Uint8Array, options?: NamedOptions): Promise<void> {
    await (await this.store()).putNamed(key, bytes, options);
  }

  async readNamed(key: string): Promise<Uint8Array | undefined> {
    return (await this.store()).readNamed(key);
  }

  async *listNamed(prefix: string): AsyncGenerator<string> {
    yield* (await this.store()).listNamed(prefix);
  }

  async removeNamed(key: string): Promise<void> {
    await (await this.store()).removeNamed(key);
  }

  async setAside(digest: string): Promise<void> {
    await (await this.store()).setAside(digest);
  }

  async *listAside(): AsyncGenerator<ListedObject> {
    yield* (await this.store()).listAside();
  }

  async putBack(digest: string): Promise<boolean> {
    return (await this.store()).putBack(digest);
  }

  async discard(digest: string): Promise<void> {
    await (await this.store()).discard(digest);
  }

  async mend(digest: string): Promise<boolean> {
    return (await this.store()).mend(digest);
  }

  async leftovers(before: Date, options?: { remove?: boolean }): Promise<Leftover[]> {
    return (await this.store()).leftovers(before, options);
  }
}
