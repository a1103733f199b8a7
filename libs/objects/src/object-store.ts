import type { Readable } from 'node:stream';

/** Bytes of an object: whole, or as they arrive. */
export type ByteSource = AsyncIterable<Uint8Array> | Uint8Array;

/** `digest` is `sha256:` and 64 lower-case hex digits. */
export interface StoredBytes {
  digest: string;
  sizeBytes: number;
}

/** An object as a list tells it. */
export interface ListedObject extends StoredBytes {
  /** when these bytes were stored last; storing them once more makes them young again on a folder */
  storedAt: Date;
}

/** Bytes start … end − 1 of an object. */
export interface ByteRange {
  start: number;
  end: number;
}

/**
 * What the bytes are to the archive. An original cannot be made again: where a period is configured,
 * it stands under retention. A derivative can, and never does.
 */
export type RetainClass = 'original' | 'derivative';

export interface KeepOptions {
  retain?: RetainClass;
}

export interface TakeOptions extends KeepOptions {
  /**
   * The caller's own flush of the file, which may be under way still: it resolves once whatever was
   * written is on the disk. The object has no name before.
   */
  flushed?: Promise<void>;
  /**
   * The file stays, perhaps as a second name of the object: it must never be written again. For a
   * caller that may have to take it once more until what names the object is written.
   */
  keepsSource?: boolean;
}

export interface PutOptions extends KeepOptions {
  expectedDigest?: string;
  /** what lies there is known to be damaged: it is replaced even where it looks the same from outside */
  isRepair?: boolean;
}

export interface NamedOptions {
  /** Until then the text can be neither replaced nor removed: by the service on S3, by the program on a folder. */
  retainUntil?: Date;
}

/**
 * Content-addressed store: the key of an object is the SHA-256 of its bytes, so an object never
 * changes and storing it twice is storing it once. Beside the objects stand a few named texts
 * (checkpoints), which may be replaced unless they are retained.
 *
 * Every adapter passes `objects.contract.ts`. Besides the faults named here every call may reject
 * with `store-unavailable` (nothing answers, or it answers nonsense), every write with `store-full`;
 * then nothing was acknowledged.
 */
export interface ObjectStore {
  /**
   * Stores the bytes and answers once they would survive a power cut.
   *
   * @throws {ObjectStoreError} `digest-mismatch` if `expectedDigest` is another; nothing is kept
   */
  put(source: ByteSource, options?: PutOptions): Promise<StoredBytes>;
  /**
   * Takes over a file of this machine whose digest is known (hashed while it arrived). The file is
   * moved where that is possible and gone afterwards, unless it is to stay; when the store refuses it
   * stays where it was.
   */
  putFile(path: string, known: StoredBytes, options?: TakeOptions): Promise<StoredBytes>;
  has(digest: string): Promise<boolean>;
  /** @throws {ObjectStoreError} `object-missing` */
  sizeOf(digest: string): Promise<number>;
  /**
   * A whole object is hashed on its way: its last bytes are given only when the digest holds, else
   * the stream ends with `object-damaged`. A part is given as it lies there.
   *
   * @throws {ObjectStoreError} `object-missing`, `range-outside`
   */
  read(digest: string, range?: ByteRange): Promise<Readable>;
  /**
   * Bytes start … end − 1, as they lie there.
   *
   * @throws {ObjectStoreError} `object-missing`, `range-outside`
   */
  readRange(digest: string, start: number, end: number): Promise<Uint8Array>;
  /** All objects in the order of their digests, from the first one behind `after` on. */
  list(after?: string): AsyncIterable<ListedObject>;
  /**
   * Removes an object that nothing names. One that is not there is no fault.
   *
   * @throws {ObjectStoreError} `object-retained`
   */
  remove(digest: string): Promise<void>;
  /**
   * Destroys the bytes in every version, also before their retention (GOVERNANCE) ends: for an
   * original that is withdrawn. One that is not there is no fault.
   */
  destroy(digest: string): Promise<void>;
  /**
   * Writes or replaces a named text, e.g. `checkpoints/<log>/<size>`; durable when it resolves.
   * Writing the text that is there already is no replacement and may prolong its retention.
   *
   * @throws {ObjectStoreError} `named-retained` if another text stands there under retention
   */
  putNamed(key: string, bytes: Uint8Array, options?: NamedOptions): Promise<void>;
  /** The text; under retention the one that was written first, whatever somebody laid over it. */
  readNamed(key: string): Promise<Uint8Array | undefined>;
  /** Keys that begin with `prefix`, in no promised order. */
  listNamed(prefix: string): AsyncIterable<string>;
  /**
   * Removes a named text. One that is not there is no fault.
   *
   * @throws {ObjectStoreError} `named-retained`
   */
  removeNamed(key: string): Promise<void>;
  /** Where the object lies on this machine's disk; adapters without one leave this out. */
  path?(digest: string): string;
}

/** What a crash or a replaced object left in a store, by kind. */
export interface Leftover {
  /** half-written files, parts of uploads that never ended, or versions that a later one replaced */
  kind: 'half-written' | 'upload-part' | 'old-version';
  count: number;
  sizeBytes: number;
}

/** One store by itself, as whoever looks after it sees it. */
export interface TendedStore extends ObjectStore {
  /**
   * Takes an object out of the way. It is not lost: whoever asks for it gets it back in its place.
   * One that is not there is no fault.
   *
   * @throws {ObjectStoreError} `object-retained`
   */
  setAside(digest: string): Promise<void>;
  /** What was set aside, and since when (`storedAt`). */
  listAside(): AsyncIterable<ListedObject>;
  /** Puts it in its place again; false when there is nothing aside. */
  putBack(digest: string): Promise<boolean>;
  /** Removes for good what was set aside. */
  discard(digest: string): Promise<void>;
  /**
   * Makes a damaged or missing object whole from what the store itself still holds: an older version,
   * or what was set aside.
   *
   * @returns whether it is whole
   */
  mend(digest: string): Promise<boolean>;
  /** What was left behind before `before`; with `remove` it is swept, except what stands under retention. */
  leftovers(before: Date, options?: { remove?: boolean }): Promise<Leftover[]>;
}

export type ObjectFault =
  | 'digest-invalid'
  | 'digest-mismatch'
  | 'key-invalid'
  | 'locator-invalid'
  | 'named-retained'
  | 'object-damaged'
  | 'object-missing'
  | 'object-retained'
  | 'range-outside'
  | 'store-full'
  | 'store-unavailable';

export class ObjectStoreError extends Error {
  override readonly name = 'ObjectStoreError';

  constructor(
    readonly fault: ObjectFault,
    message: string,
    options?: ErrorOptions,
  ) {
    super(message, options);
  }
}

export function isFault(error: unknown, ...faults: ObjectFault[]): error is ObjectStoreError {
  return error instanceof ObjectStoreError && faults.includes(error.fault);
}
