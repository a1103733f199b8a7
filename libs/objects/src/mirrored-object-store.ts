import { open } from 'node:fs/promises';
import { Readable } from 'node:stream';
import { buffer } from 'node:stream/consumers';
import { setTimeout as sleep } from 'node:timers/promises';
import {
  type ByteRange,
  type ByteSource,
  isFault,
  type KeepOptions,
  type ListedObject,
  type NamedOptions,
  type ObjectStore,
  ObjectStoreError,
  type PutOptions,
  type StoredBytes,
  type TakeOptions,
  type TendedStore,
} from './object-store.js';
import { forgetOwed, isOwedKey, isToBeDestroyed, listOwed, noteOwed, type Owed } from './owed.js';

/** Whole objects up to this size are checked before the first byte is given, so that the replica can stand in. */
const CHECKED_FIRST_BYTES = 8 * 1024 * 1024;
/** After the replica failed it is left alone for so long; what comes meanwhile is owed. */
const REST_MS = 15_000;
/** A replica may take this long, and longer for large objects at the slowest rate we wait for. */
const PATIENCE_MS = 20_000;
const SLOWEST_BYTES_PER_MS = 1000;

export interface MirrorReports {
  /** the replica could not be written; `owed` says what it lacks */
  onBehind?: (owed: Owed, error: unknown) => void;
  /** bytes that were missing or damaged in the primary came back from the replica */
  onHealed?: (digest: string) => void;
}

/**
 * Two stores as one. A write goes to both at once and is acknowledged when the primary holds it and
 * the replica either holds it too or is durably noted to lack it: `owed()` tells, `settle()` makes it
 * good. Nothing is acknowledged that neither is in two places nor known to be in one only.
 *
 * Reads come from the primary. What is missing or damaged there is given by the replica and put back.
 */
export class MirroredObjectStore implements ObjectStore {
  readonly path?: (digest: string) => string;
  private restsUntil = 0;
  private readonly healing = new Map<string, Promise<void>>();

  constructor(
    readonly primary: TendedStore,
    readonly replica: TendedStore,
    private readonly reports: MirrorReports = {},
  ) {
    if (primary.path !== undefined) this.path = (digest) => primary.path!(digest);
  }

  async put(source: ByteSource, options?: PutOptions): Promise<StoredBytes> {
    if (!(source instanceof Uint8Array)) {
      const stored = await this.primary.put(source, options);
      await this.alsoInReplica(stored, options, async () =>
        this.replica.put(await this.primary.read(stored.digest), {
          ...options,
          expectedDigest: stored.digest,
        }),
      );
      return stored;
    }
    const copying = this.tried(source.length, () => this.replica.put(source, options));
    const stored = await this.primary.put(source, options);
    await this.copiedOrOwed(stored, options, await copying);
    return stored;
  }

  async putFile(path: string, known: StoredBytes, options?: TakeOptions): Promise<StoredBytes> {
    // the file is read on while the primary moves it away: an open file outlives its name
    const handle = await open(path, 'r');
    try {
      const copying = this.tried(known.sizeBytes, () =>
        this.replica.put(handle.createReadStream({ autoClose: false, start: 0 }), {
          ...options,
          expectedDigest: known.digest,
        }),
      );
      const [stored] = await Promise.allSettled([
        this.primary.putFile(path, known, options),
        copying,
      ]);
      if (stored.status === 'rejected') throw stored.reason;
      await this.copiedOrOwed(stored.value, options, await copying);
      return stored.value;
    } finally {
      await handle.close();
    }
  }

  async has(digest: string): Promise<boolean> {
    return this.eitherWay(
      digest,
      () => this.primary.sizeOf(digest).then(() => true),
      () => this.replica.sizeOf(digest).then(() => true),
    ).catch((error: unknown) => {
      if (isFault(error, 'object-missing')) return false;
      throw error;
    });
  }

  sizeOf(digest: string): Promise<number> {
    return this.eitherWay(
      digest,
      () => this.primary.sizeOf(digest),
      () => this.replica.sizeOf(digest),
    );
  }

  async read(digest: string, range?: ByteRange): Promise<Readable> {
    if (range !== undefined) {
      return this.eitherWay(
        digest,
        () => this.primary.read(digest, range),
        () => this.replica.read(digest, range),
      );
    }
    if ((await this.sizeOf(digest)) <= CHECKED_FIRST_BYTES) {
      const whole = await this.eitherWay(
        digest,
        async () => buffer(await this.primary.read(digest)),
        async () => buffer(await this.replica.read(digest)),
      );
      return Readable.from(whole.length === 0 ? [] : [whole], { objectMode: false });
    }
    const source = await this.eitherWay(
      digest,
      () => this.primary.read(digest),
      () => this.replica.read(digest),
    );
    // too late for this reader, in time for the next
    source.once('error', (error) => {
      if (isFault(error, 'object-damaged')) this.heal(digest).catch(() => undefined);
    });
    return source;
  }

  readRange(digest: string, start: number, end: number): Promise<Uint8Array> {
    return this.eitherWay(
      digest,
      () => this.primary.readRange(digest, start, end),
      () => this.replica.readRange(digest, start, end),
    );
  }

  list(after?: string): AsyncIterable<ListedObject> {
    return this.primary.list(after);
  }

  async remove(digest: string): Promise<void> {
    await this.primary.remove(digest);
    await this.replica.remove(digest);
  }

  /** Noted before and forgotten after: bytes that shall be gone are never copied back. */
  async destroy(digest: string): Promise<void> {
    const owed: Owed = { kind: 'destroy', digest, since: new Date() };
    await noteOwed(this.primary, owed);
    await this.primary.destroy(digest);
    await forgetOwed(this.primary, { kind: 'copy', digest, since: owed.since, retain: undefined });
    const done = await this.tried(0, () => this.replica.destroy(digest));
    if (done.ok) await forgetOwed(this.primary, owed);
    else this.reports.onBehind?.(owed, done.error);
  }

  async putNamed(key: string, bytes: Uint8Array, options?: NamedOptions): Promise<void> {
    const writing = this.tried(bytes.length, () => this.replica.putNamed(key, bytes, options));
    await this.primary.putNamed(key, bytes, options);
    await this.namedOrOwed(key, options, await writing);
  }

  async readNamed(key: string): Promise<Uint8Array | undefined> {
    let found: Uint8Array | undefined;
    try {
      found = await this.primary.readNamed(key);
    } catch (error) {
      if (!isFault(error, 'store-unavailable')) throw error;
      return this.replica.readNamed(key);
    }
    if (found !== undefined || (await this.isNameOwed(key))) return found;
    const inReplica = await this.tried(0, () => this.replica.readNamed(key));
    return inReplica.ok ? inReplica.value : undefined;
  }

  async *listNamed(prefix: string): AsyncGenerator<string> {
    for await (const key of this.primary.listNamed(prefix)) if (!isOwedKey(key)) yield key;
  }

  async removeNamed(key: string): Promise<void> {
    const removing = this.tried(0, () => this.replica.removeNamed(key));
    await this.primary.removeNamed(key);
    await this.namedOrOwed(key, undefined, await removing);
  }

  /** What the replica lacks, or holds although it shall not. */
  owed(): AsyncIterable<Owed> {
    return listOwed(this.primary);
  }

  /**
   * Gives the replica what it lacks, one after the other, and stops at the first that it does not take.
   *
   * @returns how many were settled and how many are left
   */
  async settle(signal?: AbortSignal): Promise<{ settled: number; left: number }> {
    let settled = 0;
    let left = 0;
    for await (const owed of listOwed(this.primary)) {
      if (left > 0 || signal?.aborted === true) {
        left++;
        continue;
      }
      try {
        await this.settleOne(owed);
        await forgetOwed(this.primary, owed);
        settled++;
      } catch (error) {
        this.reports.onBehind?.(owed, error);
        left++;
      }
    }
    if (left === 0) this.restsUntil = 0;
    return { settled, left };
  }

  /**
   * Puts the primary's object back from the replica, whatever lies there.
   *
   * @throws {ObjectStoreError} when the replica has none either, or a damaged one
   */
  heal(digest: string): Promise<void> {
    const under = this.healing.get(digest);
    if (under !== undefined) return under;
    const healing = this.healOnce(digest).finally(() => this.healing.delete(digest));
    this.healing.set(digest, healing);
    return healing;
  }

  private async healOnce(digest: string): Promise<void> {
    if (await isToBeDestroyed(this.primary, digest)) {
      throw new ObjectStoreError('object-missing', `${digest} was withdrawn`);
    }
    await this.primary.put(await this.replica.read(digest), {
      expectedDigest: digest,
      isRepair: true,
    });
    this.reports.onHealed?.(digest);
  }

  /** From the primary; mended first where it is missing or damaged; else as the replica has it. */
  private async eitherWay<T>(
    digest: string,
    first: () => Promise<T>,
    second: () => Promise<T>,
  ): Promise<T> {
    let said: unknown;
    try {
      return await first();
    } catch (error) {
      if (!isFault(error, 'object-missing', 'object-damaged', 'store-unavailable')) throw error;
      said = error;
    }
    try {
      if (isFault(said, 'store-unavailable')) return await second();
      await this.heal(digest);
      return await first();
    } catch (error) {
      // a primary that cannot be written can still be stood in for
      if (isFault(error, 'store-full')) return second();
      throw isFault(error, 'object-missing', 'object-damaged') ? said : error;
    }
  }

  private async alsoInReplica(
    stored: StoredBytes,
    options: KeepOptions | undefined,
    copy: () => Promise<unknown>,
  ): Promise<void> {
    await this.copiedOrOwed(stored, options, await this.tried(stored.sizeBytes, copy));
  }

  private async copiedOrOwed(
    { digest }: StoredBytes,
    options: KeepOptions | undefined,
    copied: Tried<unknown>,
  ): Promise<void> {
    if (copied.ok) return;
    await this.owe({ kind: 'copy', digest, since: new Date(), retain: options?.retain }, copied);
  }

  private async namedOrOwed(
    key: string,
    options: NamedOptions | undefined,
    written: Tried<unknown>,
  ): Promise<void> {
    if (written.ok) return;
    // the two hold different texts under retention: somebody must look, nothing may be laid over either
    if (isFault(written.error, 'named-retained')) throw written.error;
    const { retainUntil } = options ?? {};
    await this.owe({ kind: 'name', key, since: new Date(), retainUntil }, written);
  }

  /** @throws {ObjectStoreError} when not even the note could be written: then nothing is acknowledged */
  private async owe(owed: Owed, { error }: { error: unknown }): Promise<void> {
    await noteOwed(this.primary, owed);
    this.reports.onBehind?.(owed, error);
  }

  private async isNameOwed(key: string): Promise<boolean> {
    return isOwedKey(key) || (await this.primary.readNamed(`owed/name/${key}`)) !== undefined;
  }

  private async settleOne(owed: Owed): Promise<void> {
    if (owed.kind === 'destroy') await this.replica.destroy(owed.digest);
    else if (owed.kind === 'copy') {
      const { digest, retain } = owed;
      await this.replica.put(await this.primary.read(digest), {
        expectedDigest: digest,
        ...(retain === undefined ? {} : { retain }),
      });
    } else {
      const bytes = await this.primary.readNamed(owed.key);
      const { retainUntil } = owed;
      if (bytes === undefined) await this.replica.removeNamed(owed.key);
      else {
        await this.replica.putNamed(
          owed.key,
          bytes,
          retainUntil === undefined ? {} : { retainUntil },
        );
      }
    }
  }

  /** Never rejects and never waits for ever: what the replica does must not hold up the primary. */
  private async tried<T>(sizeBytes: number, work: () => Promise<T>): Promise<Tried<T>> {
    if (Date.now() < this.restsUntil) {
      return { ok: false, error: new Error('the replica failed a moment ago and is left alone') };
    }
    const given = new AbortController();
    try {
      const patienceMs = PATIENCE_MS + sizeBytes / SLOWEST_BYTES_PER_MS;
      const value = await Promise.race([
        work(),
        sleep(patienceMs, undefined, { signal: given.signal, ref: false }).then(() => {
          throw new ObjectStoreError(
            'store-unavailable',
            `the replica did not answer within ${Math.round(patienceMs / 1000)} s`,
          );
        }),
      ]);
      return { ok: true, value };
    } catch (error) {
      if (isFault(error, 'store-unavailable', 'locator-invalid')) {
        this.restsUntil = Date.now() + REST_MS;
      }
      return { ok: false, error };
    } finally {
      given.abort();
    }
  }
}

type Tried<T> = { ok: true; value: T } | { ok: false; error: unknown };
