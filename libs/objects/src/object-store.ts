import type { Readable } from 'node:stream';

/** Bytes of an object: whole, or as they arrive. */
export type ByteSource = AsyncIterable<Uint8Array> | Uint8Array;

/** `digest` is `sha256:` and 64 lower-case hex digits. */
export interface StoredBytes {
  digest: string;
  sizeBytes: number;
}

/** Bytes start … end − 1 of an object. */
export interface ByteRange {
  start: number;
  end: number;
}

/**
 * Content-addressed store: the key of an object is the SHA-256 of its bytes, so an object never
 * changes and storing it twice is storing it once. Beside the objects stand a few named texts
 * (checkpoints), which may be replaced.
 *
 * Every adapter passes `objects.contract.ts`.
 */
export interface ObjectStore {
  /**
   * Stores the bytes and answers once they would survive a power cut.
   *
   * @throws {ObjectStoreError} `digest-mismatch` if `expectedDigest` is another; nothing is kept
   */
  put(source: ByteSource, options?: { expectedDigest?: string }): Promise<StoredBytes>;
  /**
   * Takes over a file of this machine whose digest is known (hashed while it arrived). The file is
   * moved where that is possible; it is gone afterwards in any case.
   */
  putFile(path: string, known: StoredBytes): Promise<StoredBytes>;
  has(digest: string): Promise<boolean>;
  /** @throws {ObjectStoreError} `object-missing` */
  sizeOf(digest: string): Promise<number>;
  /** @throws {ObjectStoreError} `object-missing`, `range-outside` */
  read(digest: string, range?: ByteRange): Promise<Readable>;
  /**
   * Bytes start … end − 1.
   *
   * @throws {ObjectStoreError} `object-missing`, `range-outside`
   */
  readRange(digest: string, start: number, end: number): Promise<Uint8Array>;
  /** Writes or replaces a named text, e.g. `checkpoints/<log>/<size>`; durable when it resolves. */
  putNamed(key: string, bytes: Uint8Array): Promise<void>;
  readNamed(key: string): Promise<Uint8Array | undefined>;
  /** Where the object lies on this machine's disk; adapters without one leave this out. */
  path?(digest: string): string;
}

export type ObjectFault =
  | 'digest-invalid'
  | 'digest-mismatch'
  | 'key-invalid'
  | 'locator-invalid'
  | 'object-missing'
  | 'range-outside';

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
