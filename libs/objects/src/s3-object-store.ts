import { createHash, randomUUID } from 'node:crypto';
import { createReadStream, createWriteStream } from 'node:fs';
import { mkdir, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { Client } from 'minio';
import { checkDigest, checkedKey, checkRange, digestOf, hexOf } from './digest.js';
import {
  type ByteRange,
  type ByteSource,
  type ObjectStore,
  ObjectStoreError,
  type StoredBytes,
} from './object-store.js';

export interface S3Place {
  bucket: string;
  /** e.g. `http://127.0.0.1:7480` */
  endpoint: string;
  accessKey: string;
  secretKey: string;
  region?: string;
  /** folder for bytes whose digest is not known before they have all arrived */
  spoolFolder: string;
}

/**
 * Objects as `sha256/ab/abcd…` in one bucket of an S3 service. The key is known only after the last
 * byte, so a stream is spooled to the local disk, then sent; an acknowledged PUT counts as durable.
 */
export class S3ObjectStore implements ObjectStore {
  private constructor(
    private readonly client: Client,
    private readonly place: S3Place,
  ) {}

  /** Makes the bucket if it is not there. */
  static async open(place: S3Place): Promise<S3ObjectStore> {
    const url = new URL(place.endpoint);
    const client = new Client({
      endPoint: url.hostname,
      useSSL: url.protocol === 'https:',
      accessKey: place.accessKey,
      secretKey: place.secretKey,
      region: place.region ?? 'us-east-1',
      pathStyle: true,
      ...(url.port === '' ? {} : { port: Number(url.port) }),
    });
    if (!(await client.bucketExists(place.bucket))) await client.makeBucket(place.bucket);
    await mkdir(place.spoolFolder, { recursive: true, mode: 0o700 });
    return new S3ObjectStore(client, place);
  }

  async put(source: ByteSource, options?: { expectedDigest?: string }): Promise<StoredBytes> {
    const expected = options?.expectedDigest;
    if (expected !== undefined) hexOf(expected);
    if (source instanceof Uint8Array) {
      const digest = digestOf(source);
      checkDigest(expected, digest);
      if (!(await this.has(digest))) await this.send(keyOf(digest), source);
      return { digest, sizeBytes: source.length };
    }
    const spool = join(this.place.spoolFolder, randomUUID());
    try {
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
        createWriteStream(spool, { flags: 'wx', mode: 0o600 }),
      );
      const digest = `sha256:${hash.digest('hex')}`;
      checkDigest(expected, digest);
      return await this.putFile(spool, { digest, sizeBytes });
    } finally {
      await rm(spool, { force: true });
    }
  }

  async putFile(path: string, known: StoredBytes): Promise<StoredBytes> {
    const key = keyOf(known.digest);
    const { size } = await stat(path);
    if (size !== known.sizeBytes) {
      throw new ObjectStoreError(
        'digest-mismatch',
        `${path} has ${size} bytes, announced were ${known.sizeBytes}`,
      );
    }
    if (!(await this.has(known.digest))) {
      await this.client.putObject(this.place.bucket, key, createReadStream(path), size);
    }
    await rm(path, { force: true });
    return { digest: known.digest, sizeBytes: size };
  }

  async has(digest: string): Promise<boolean> {
    return (await this.statOf(digest)) !== undefined;
  }

  async sizeOf(digest: string): Promise<number> {
    const size = await this.statOf(digest);
    if (size === undefined) {
      throw new ObjectStoreError('object-missing', `there is no object ${digest}`);
    }
    return size;
  }

  async read(digest: string, range?: ByteRange): Promise<Readable> {
    const size = await this.sizeOf(digest);
    if (range === undefined) {
      return size === 0
        ? Readable.from([])
        : this.client.getObject(this.place.bucket, keyOf(digest));
    }
    checkRange(digest, range, size);
    return this.client.getPartialObject(
      this.place.bucket,
      keyOf(digest),
      range.start,
      range.end - range.start,
    );
  }

  /** One round trip: a range past the end shows in the answer's length, so no size is asked first. */
  async readRange(digest: string, start: number, end: number): Promise<Uint8Array> {
    checkRange(digest, { start, end }, Infinity);
    const bytes = await this.client
      .getPartialObject(this.place.bucket, keyOf(digest), start, end - start)
      .then(gather)
      .catch((error: unknown) => {
        const code = codeOf(error);
        if (isAbsent(code)) {
          throw new ObjectStoreError('object-missing', `there is no object ${digest}`, {
            cause: error,
          });
        }
        if (code === 'InvalidRange') return new Uint8Array(0);
        throw error;
      });
    if (bytes.length !== end - start) checkRange(digest, { start, end }, start + bytes.length);
    return bytes;
  }

  async putNamed(key: string, bytes: Uint8Array): Promise<void> {
    await this.send(checkedKey(key), bytes);
  }

  async readNamed(key: string): Promise<Uint8Array | undefined> {
    return this.client
      .getObject(this.place.bucket, checkedKey(key))
      .then(gather)
      .catch((error: unknown) => {
        if (isAbsent(codeOf(error))) return undefined;
        throw error;
      });
  }

  private async send(key: string, bytes: Uint8Array): Promise<void> {
    await this.client.putObject(this.place.bucket, key, Buffer.from(bytes), bytes.length);
  }

  private async statOf(digest: string): Promise<number | undefined> {
    return this.client
      .statObject(this.place.bucket, keyOf(digest))
      .then(({ size }) => size)
      .catch((error: unknown) => {
        if (isAbsent(codeOf(error))) return undefined;
        throw error;
      });
  }
}

function keyOf(digest: string): string {
  const hex = hexOf(digest);
  return `sha256/${hex.slice(0, 2)}/${hex}`;
}

function codeOf(error: unknown): string {
  const { code } = error as { code?: unknown };
  return typeof code === 'string' ? code : '';
}

function isAbsent(code: string): boolean {
  return code === 'NotFound' || code === 'NoSuchKey';
}

async function gather(source: AsyncIterable<Uint8Array>): Promise<Uint8Array> {
  const chunks: Uint8Array[] = [];
  for await (const chunk of source) chunks.push(chunk);
  return Buffer.concat(chunks);
}
