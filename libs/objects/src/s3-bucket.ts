/** One bucket of an S3 service: the few requests that the store is made of, each safe to repeat. */
import type { Readable } from 'node:stream';
import { finished } from 'node:stream/promises';
import { type Client, RETENTION_MODES } from 'minio';
import { ObjectStoreError } from './object-store.js';
import { attempted, connect, isS3Absent, type S3Place, s3Code } from './s3-connection.js';

export interface Retention {
  mode: 'GOVERNANCE' | 'COMPLIANCE';
  until: Date;
}

export interface S3Part {
  start?: number;
  /** 0: to the end */
  lengthBytes?: number;
  versionId?: string | undefined;
}

/** One of what lies under a key; the service keeps several where the bucket has versions. */
export interface S3Version {
  key: string;
  versionId: string;
  sizeBytes: number;
  storedAt: Date;
  isLatest: boolean;
  /** stands for "removed" */
  isMarker: boolean;
}

export interface OpenUpload {
  key: string;
  uploadId: string;
  sizeBytes: number;
  begunAt: Date;
}

export class S3Bucket {
  private constructor(
    readonly client: Client,
    readonly place: S3Place,
  ) {}

  /**
   * Makes the bucket if it is not there.
   *
   * @throws {ObjectStoreError} `locator-invalid` when retention is wanted of a bucket that cannot keep it
   */
  static async open(place: S3Place): Promise<S3Bucket> {
    const client = connect(place);
    const bucket = new S3Bucket(client, place);
    const { bucket: name, needsLock = false } = place;
    await bucket.attempt('opening it', async () => {
      if (await client.bucketExists(name)) return;
      await client
        .makeBucket(name, place.region ?? '', { ObjectLocking: needsLock })
        .catch((error: unknown) => {
          if (s3Code(error) !== 'BucketAlreadyOwnedByYou') throw error; // two opened it at once
        });
    });
    if (needsLock && !(await bucket.hasLock())) {
      throw new ObjectStoreError(
        'locator-invalid',
        `the bucket ${name} was made without Object Lock, which can only be had from the start: name a new bucket and copy the objects there, or leave out MULLION_RETAIN_CHECKPOINTS_DAYS and MULLION_RETAIN_ORIGINALS_DAYS`,
      );
    }
    return bucket;
  }

  attempt<T>(what: string, work: () => Promise<T>): Promise<T> {
    return attempted(`${what} in s3://${this.place.bucket}`, work);
  }

  /** Whether the bucket can keep versions under retention. */
  hasLock(): Promise<boolean> {
    return this.attempt('asking for Object Lock', async () => {
      try {
        // the declared type of its answer is void
        const client = this.client as unknown as LockConfigReader;
        const { objectLockEnabled } = await client.getObjectLockConfig(this.place.bucket);
        return objectLockEnabled === 'Enabled';
      } catch (error) {
        if (s3Code(error).startsWith('ObjectLockConfigurationNotFound')) return false;
        throw error;
      }
    });
  }

  /** Bytes under the key; undefined when there are none. */
  stat(
    key: string,
    versionId?: string,
  ): Promise<{ sizeBytes: number; versionId: string } | undefined> {
    return this.attempt(`looking at ${key}`, async () => {
      try {
        const found = await this.client.statObject(
          this.place.bucket,
          key,
          versionId === undefined ? {} : { versionId },
        );
        return { sizeBytes: found.size, versionId: found.versionId ?? 'null' };
      } catch (error) {
        if (isS3Absent(error)) return undefined;
        throw error;
      }
    });
  }

  /** The answer's body: the whole, or `lengthBytes` from `start` on. Undefined when there is nothing. */
  get(
    key: string,
    { start = 0, lengthBytes = 0, versionId }: S3Part = {},
  ): Promise<Readable | undefined> {
    return this.attempt(`reading ${key}`, async () => {
      try {
        const options = versionId === undefined ? {} : { versionId };
        const { bucket } = this.place;
        return await this.client.getPartialObject(bucket, key, start, lengthBytes, options);
      } catch (error) {
        if (isS3Absent(error)) return undefined;
        throw error;
      }
    });
  }

  /**
   * One PUT. The service checks the bytes against Content-MD5 and, without TLS, against the SHA-256 in
   * the signature.
   *
   * @returns id of the version that was made, where the bucket has versions
   */
  put(key: string, bytes: Buffer, headers: Record<string, string>): Promise<string | undefined> {
    return this.attempt(`writing ${key}`, async () => {
      const answer = await this.client.makeRequestAsyncOmit(
        { method: 'PUT', bucketName: this.place.bucket, objectName: key, headers: { ...headers } },
        bytes,
      );
      const versionId = answer.headers['x-amz-version-id'];
      return typeof versionId === 'string' && versionId !== 'null' ? versionId : undefined;
    });
  }

  async *list(prefix: string, startAfter: string) {
    let token = '';
    for (;;) {
      const page = await this.attempt(`listing ${prefix}`, () =>
        this.client.listObjectsV2Query(this.place.bucket, prefix, token, '', 1000, startAfter),
      );
      for (const { name, size, lastModified } of page.objects) {
        if (name !== undefined) yield { key: name, sizeBytes: size, storedAt: lastModified };
      }
      if (!page.isTruncated) return;
      token = page.nextContinuationToken;
    }
  }

  /** Every version of every key with the prefix; of one key the newest first. */
  async *versions(prefix: string): AsyncGenerator<S3Version> {
    let keyMarker = '';
    let versionIdMarker = '';
    for (;;) {
      const page = await this.attempt(`listing versions of ${prefix}`, () =>
        this.client.listObjectsQuery(this.place.bucket, prefix, '', {
          Delimiter: '',
          MaxKeys: 1000,
          IncludeVersion: true,
          keyMarker: encodeURIComponent(keyMarker),
          versionIdMarker: encodeURIComponent(versionIdMarker),
        }),
      );
      for (const found of page.objects) yield asVersion(found);
      if (page.isTruncated !== true) return;
      keyMarker = page.keyMarker ?? '';
      versionIdMarker = page.versionIdMarker ?? '';
    }
  }

  async versionsOf(key: string): Promise<S3Version[]> {
    const found: S3Version[] = [];
    for await (const version of this.versions(key)) if (version.key === key) found.push(version);
    return found;
  }

  /** Copies within the bucket; answers once the copy says that it has the length of its source. */
  async copy(
    from: string,
    to: string,
    { versionId, headers = {} }: { versionId?: string; headers?: Record<string, string> } = {},
  ): Promise<void> {
    const { bucket } = this.place;
    const query = versionId === undefined ? '' : `?versionId=${encodeURIComponent(versionId)}`;
    await this.attempt(`copying ${from}`, async () => {
      const answer = await this.client.makeRequestAsync({
        method: 'PUT',
        bucketName: bucket,
        objectName: to,
        headers: {
          ...headers,
          'x-amz-copy-source': `/${bucket}/${from}${query}`,
          'x-amz-metadata-directive': 'REPLACE', // an object may be copied onto itself only so
        },
      });
      await finished(answer.resume()); // "200 OK" may carry an error: the length below tells
    });
    const source = await this.stat(from, versionId);
    const made = await this.stat(to);
    if (source !== undefined && made?.sizeBytes === source.sizeBytes) return;
    throw new ObjectStoreError('store-unavailable', `${from} was not copied to ${to}`);
  }

  /** Uploads in parts that were begun and neither ended nor given up. */
  openUploads(): Promise<OpenUpload[]> {
    return this.attempt('listing uploads in parts', async () => {
      const found: OpenUpload[] = [];
      const { bucket } = this.place;
      // its declared items lack the time that they have
      const items: AsyncIterable<unknown> = this.client.listIncompleteUploads(bucket, '', true);
      for await (const item of items) {
        const { key, uploadId, size, initiated } = item as RawUpload;
        found.push({ key, uploadId, sizeBytes: size, begunAt: new Date(initiated) });
      }
      return found;
    });
  }

  abandon({ key, uploadId }: OpenUpload): Promise<void> {
    return this.attempt(`giving up an upload of ${key}`, async () => {
      try {
        await this.client.abortMultipartUpload(this.place.bucket, key, uploadId);
      } catch (error) {
        if (s3Code(error) !== 'NoSuchUpload' && !isS3Absent(error)) throw error;
      }
    });
  }

  /** Removes one version for good; false when it stands under retention. */
  removeVersion(
    { key, versionId, isMarker }: S3Version,
    { isWithdrawal = false } = {},
  ): Promise<boolean> {
    return this.attempt(`removing ${key}`, async () => {
      try {
        await this.client.removeObject(this.place.bucket, key, {
          versionId,
          governanceBypass: isWithdrawal,
        });
        return true;
      } catch (error) {
        if (isS3Absent(error)) return true;
        const isRefused = s3Code(error) === 'AccessDenied' && !isMarker;
        if (isRefused && (await this.retentionOf(key, versionId)) !== undefined) return false;
        throw error;
      }
    });
  }

  /** Retention that is still in force. */
  retentionOf(key: string, versionId?: string): Promise<Retention | undefined> {
    return this.attempt(`asking for the retention of ${key}`, async () => {
      try {
        const found = await this.client.getObjectRetention(
          this.place.bucket,
          key,
          versionId === undefined ? undefined : { versionId },
        );
        if (found?.retainUntilDate === undefined) return undefined;
        const until = new Date(found.retainUntilDate);
        const mode = found.mode === 'COMPLIANCE' ? 'COMPLIANCE' : 'GOVERNANCE';
        return until.getTime() > Date.now() ? { mode, until } : undefined;
      } catch (error) {
        if (NO_RETENTION.has(s3Code(error)) || isS3Absent(error)) return undefined;
        throw error;
      }
    });
  }

  prolong(key: string, versionId: string, { mode, until }: Retention): Promise<void> {
    return this.attempt(`retaining ${key}`, async () => {
      await this.client.putObjectRetention(this.place.bucket, key, {
        versionId,
        mode: RETENTION_MODES[mode],
        retainUntilDate: until.toISOString(),
      });
    });
  }
}

export function retentionHeaders(retention: Retention | undefined): Record<string, string> {
  if (retention === undefined) return {};
  return {
    'x-amz-object-lock-mode': retention.mode,
    'x-amz-object-lock-retain-until-date': retention.until.toISOString(),
  };
}

/** What services answer for an object, or a bucket, without retention. */
const NO_RETENTION = new Set([
  'NoSuchObjectLockConfiguration',
  'ObjectLockConfigurationNotFoundError',
  'InvalidRequest',
]);

interface LockConfigReader {
  getObjectLockConfig(bucket: string): Promise<{ objectLockEnabled?: string }>;
}

interface RawUpload {
  key: string;
  uploadId: string;
  size: number;
  initiated: Date;
}

interface RawVersion {
  name?: string;
  versionId?: string;
  size?: number;
  lastModified?: Date;
  isLatest?: boolean | string;
  isDeleteMarker?: boolean;
}

function asVersion(raw: RawVersion): S3Version {
  return {
    key: raw.name ?? '',
    versionId: raw.versionId ?? 'null',
    sizeBytes: raw.size ?? 0,
    storedAt: new Date(raw.lastModified ?? 0),
    isLatest: String(raw.isLatest) === 'true',
    isMarker: raw.isDeleteMarker === true,
  };
}
