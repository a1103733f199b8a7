import { createHash, randomUUID } from 'node:crypto';
import { createWriteStream } from 'node:fs';
import { mkdir, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { checkedStream, exactStream } from './checked-read.js';
import { checkDigest, checkRange, digestOf, hexOf } from './digest.js';
import { diskFault } from './durable-file.js';
import {
  type ByteRange,
  type ByteSource,
  type KeepOptions,
  type Leftover,
  type ListedObject,
  type NamedOptions,
  ObjectStoreError,
  type PutOptions,
  type StoredBytes,
  type TakeOptions,
  type TendedStore,
} from './object-store.js';
import { type Retention, S3Bucket } from './s3-bucket.js';
import { type S3Place, s3Code, s3Fault } from './s3-connection.js';
import { ASIDE, keyOf, OBJECTS } from './s3-keys.js';
import { NamedS3Texts } from './s3-named.js';
import { leftovers, listObjects, mend, putBack, removeVersions, setAside } from './s3-tending.js';
import { bytesAsSource, type PartSource, upload, withFileAsSource } from './s3-upload.js';

/**
 * Objects as `sha256/ab/abcd…` in one bucket of an S3 service. The key is known only after the last
 * byte, so a stream is spooled to the local disk, then sent. A write is acknowledged when the service
 * has acknowledged it and says that as many bytes lie there as were sent; that they are still the same
 * bytes years later is what a scrub is for.
 *
 * Under retention originals stand under GOVERNANCE and named texts under COMPLIANCE.
 */
export class S3ObjectStore implements TendedStore {
  private readonly named: NamedS3Texts;

  private constructor(private readonly bucket: S3Bucket) {
    this.named = new NamedS3Texts(bucket);
  }

  /** Makes the bucket if it is not there, with Object Lock where retention is wanted. */
  static async open(place: S3Place): Promise<S3ObjectStore> {
    const bucket = await S3Bucket.open({
      ...place,
      needsLock: place.needsLock === true || place.retainOriginalsMs !== undefined,
    });
    await mkdir(place.spoolFolder, { recursive: true, mode: 0o700 });
    return new S3ObjectStore(bucket);
  }

  async put(source: ByteSource, options?: PutOptions): Promise<StoredBytes> {
    const expected = options?.expectedDigest;
    if (expected !== undefined) hexOf(expected);
    if (source instanceof Uint8Array) {
      const digest = digestOf(source);
      checkDigest(expected, digest);
      return this.store(digest, bytesAsSource(source), options);
    }
    const spool = join(this.bucket.place.spoolFolder, randomUUID());
    try {
      const { digest, sizeBytes } = await spooled(source, spool);
      checkDigest(expected, digest);
      return await withFileAsSource(spool, sizeBytes, (parts) =>
        this.store(digest, parts, options),
      );
    } catch (error) {
      throw diskFault(error, this.bucket.place.spoolFolder);
    } finally {
      await rm(spool, { force: true });
    }
  }

  async putFile(path: string, known: StoredBytes, options?: TakeOptions): Promise<StoredBytes> {
    hexOf(known.digest);
    const { size } = await stat(path);
    if (size !== known.sizeBytes) {
      throw new ObjectStoreError(
        'digest-mismatch',
        `${path} has ${size} bytes, announced were ${known.sizeBytes}`,
      );
    }
    const stored = await withFileAsSource(path, size, (parts) =>
      this.store(known.digest, parts, options),
    );
    if (options?.keepsSource !== true) await rm(path, { force: true });
    return stored;
  }

  async has(digest: string): Promise<boolean> {
    return (await this.found(digest)) !== undefined;
  }

  async sizeOf(digest: string): Promise<number> {
    const found = await this.found(digest);
    if (found === undefined) throw missing(digest);
    return found.sizeBytes;
  }

  async read(digest: string, range?: ByteRange): Promise<Readable> {
    const size = await this.sizeOf(digest);
    if (range === undefined) {
      const source = size === 0 ? Readable.from([]) : await this.got(digest);
      return checkedStream(digest, source);
    }
    checkRange(digest, range, size);
    const lengthBytes = range.end - range.start;
    const source = await this.got(digest, { start: range.start, lengthBytes });
    return exactStream(digest, source, lengthBytes);
  }

  /** One round trip: a range past the end shows in the answer's length, so no size is asked first. */
  async readRange(digest: string, start: number, end: number): Promise<Uint8Array> {
    checkRange(digest, { start, end }, Infinity);
    const bytes = await this.bucket.attempt(`reading ${digest}`, async () => {
      try {
        return await gather(await this.got(digest, { start, lengthBytes: end - start }));
      } catch (error) {
        const cause = error instanceof ObjectStoreError ? error.cause : error;
        if (s3Code(cause ?? error) === 'InvalidRange') return new Uint8Array(0);
        throw error;
      }
    });
    if (bytes.length !== end - start) checkRange(digest, { start, end }, start + bytes.length);
    return bytes;
  }

  list(after?: string): AsyncIterable<ListedObject> {
    return listObjects(this.bucket, OBJECTS, after);
  }

  remove(digest: string): Promise<void> {
    return removeVersions(this.bucket, keyOf(digest));
  }

  async destroy(digest: string): Promise<void> {
    await removeVersions(this.bucket, keyOf(digest, ASIDE), { isWithdrawal: true });
    await removeVersions(this.bucket, keyOf(digest), { isWithdrawal: true });
  }

  setAside(digest: string): Promise<void> {
    return setAside(this.bucket, digest);
  }

  listAside(): AsyncIterable<ListedObject> {
    return listObjects(this.bucket, ASIDE);
  }

  putBack(digest: string): Promise<boolean> {
    return putBack(this.bucket, digest);
  }

  discard(digest: string): Promise<void> {
    return removeVersions(this.bucket, keyOf(digest, ASIDE));
  }

  mend(digest: string): Promise<boolean> {
    return mend(this.bucket, digest);
  }

  leftovers(before: Date, options?: { remove?: boolean }): Promise<Leftover[]> {
    return leftovers(this.bucket, before, options);
  }

  putNamed(key: string, bytes: Uint8Array, options?: NamedOptions): Promise<void> {
    return this.named.put(key, bytes, options);
  }

  readNamed(key: string): Promise<Uint8Array | undefined> {
    return this.named.read(key);
  }

  listNamed(prefix: string): AsyncIterable<string> {
    return this.named.list(prefix);
  }

  removeNamed(key: string): Promise<void> {
    return this.named.remove(key);
  }

  /** Sends what is not there yet; one of another length there is damaged and replaced. */
  private async store(
    digest: string,
    source: PartSource,
    options: PutOptions | undefined,
  ): Promise<StoredBytes> {
    const key = keyOf(digest);
    const retention = this.retentionFor(options);
    const found = await this.bucket.stat(key);
    if (options?.isRepair === true) {
      // it stands where the damaged one stood, for as long
      const standing = found === undefined ? undefined : await this.bucket.retentionOf(key);
      await upload(this.bucket, key, source, retention ?? standing);
    } else if (found?.sizeBytes !== source.sizeBytes) {
      await upload(this.bucket, key, source, retention);
    } else if (retention !== undefined) {
      const standing = await this.bucket.retentionOf(key);
      if (standing === undefined || standing.until < retention.until) {
        const mode = standing?.mode ?? retention.mode;
        await this.bucket.prolong(key, found.versionId, { ...retention, mode });
      }
    }
    return { digest, sizeBytes: source.sizeBytes };
  }

  private retentionFor(options: KeepOptions | undefined): Retention | undefined {
    const { retainOriginalsMs } = this.bucket.place;
    if (options?.retain !== 'original' || retainOriginalsMs === undefined) return undefined;
    return { mode: 'GOVERNANCE', until: new Date(Date.now() + retainOriginalsMs) };
  }

  /** What was set aside is put back for whoever asks. */
  private async found(digest: string): Promise<{ sizeBytes: number } | undefined> {
    const found = await this.bucket.stat(keyOf(digest));
    if (found !== undefined || !(await putBack(this.bucket, digest))) return found;
    return this.bucket.stat(keyOf(digest));
  }

  private async got(
    digest: string,
    range?: { start: number; lengthBytes: number },
  ): Promise<Readable> {
    const key = keyOf(digest);
    let source = await this.bucket.get(key, range);
    if (source === undefined && (await putBack(this.bucket, digest))) {
      source = await this.bucket.get(key, range);
    }
    if (source === undefined) throw missing(digest);
    return source;
  }
}

function missing(digest: string): ObjectStoreError {
  return new ObjectStoreError('object-missing', `there is no object ${digest}`);
}

async function spooled(source: AsyncIterable<Uint8Array>, path: string): Promise<StoredBytes> {
  const hash = createHash('sha256');
  let sizeBytes = 0;
  await pipeline(
    source,
    async function* (chunks: AsyncIterable<Uint8Array>) {
      for await (const chunk of chunks) {
        hash.update(chunk);
        sizeBytes += chunk.length;
        yield chunk;
      }
    },
    createWriteStream(path, { flags: 'wx', mode: 0o600 }),
  );
  return { digest: `sha256:${hash.digest('hex')}`, sizeBytes };
}

async function gather(source: AsyncIterable<Uint8Array>): Promise<Uint8Array> {
  const chunks: Uint8Array[] = [];
  try {
    for await (const chunk of source) chunks.push(chunk);
  } catch (error) {
    throw s3Fault('reading', error);
  }
  return Buffer.concat(chunks);
}
