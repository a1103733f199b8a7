import { checkedKey, OBJECT_FOLDERS } from './digest.js';
import { type NamedOptions, ObjectStoreError } from './object-store.js';
import type { Retention, S3Bucket, S3Version } from './s3-bucket.js';
import { bytesAsSource, upload } from './s3-upload.js';

/** Named texts of a bucket; under retention (COMPLIANCE) nobody removes them, the keeper neither. */
export class NamedS3Texts {
  constructor(private readonly bucket: S3Bucket) {}

  async put(key: string, bytes: Uint8Array, options?: NamedOptions): Promise<void> {
    checkedKey(key);
    const { retainUntil } = options ?? {};
    const retention: Retention | undefined =
      retainUntil === undefined ? undefined : { mode: 'COMPLIANCE', until: retainUntil };
    if (this.bucket.place.needsLock === true) {
      const standing = await this.retained(key);
      if (standing !== undefined) {
        const there = await this.bytesOf(key, standing.version.versionId);
        if (there === undefined || Buffer.compare(there, bytes) !== 0) {
          throw retainedFault(key, standing.retention);
        }
        if (retention !== undefined && standing.retention.until < retention.until) {
          await this.bucket.prolong(key, standing.version.versionId, retention);
        }
        return;
      }
    } else if (retention !== undefined) {
      throw new ObjectStoreError(
        'locator-invalid',
        `the store was opened without Object Lock: it cannot retain ${key}`,
      );
    }
    const versionId = await upload(this.bucket, key, bytesAsSource(bytes), retention);
    if (versionId === undefined) return;
    for (const old of await this.bucket.versionsOf(key)) {
      if (old.versionId !== versionId) await this.bucket.removeVersion(old);
    }
  }

  async read(key: string): Promise<Uint8Array | undefined> {
    checkedKey(key);
    const standing = this.bucket.place.needsLock === true ? await this.retained(key) : undefined;
    return this.bytesOf(key, standing?.version.versionId);
  }

  async *list(prefix: string): AsyncGenerator<string> {
    let before: string | undefined;
    for await (const key of this.keys(prefix)) {
      if (key === before || OBJECT_FOLDERS.includes(key.split('/')[0]!)) continue;
      before = key;
      yield key;
    }
  }

  async remove(key: string): Promise<void> {
    checkedKey(key);
    const standing = await this.retained(key);
    if (standing !== undefined) throw retainedFault(key, standing.retention);
    for (const version of await this.bucket.versionsOf(key)) {
      await this.bucket.removeVersion(version);
    }
  }

  /** Under Object Lock by the versions: what somebody marked as removed is still there. */
  private async *keys(prefix: string): AsyncGenerator<string> {
    if (this.bucket.place.needsLock !== true) {
      for await (const { key } of this.bucket.list(prefix, '')) yield key;
      return;
    }
    for await (const { key, isMarker } of this.bucket.versions(prefix)) if (!isMarker) yield key;
  }

  /** The oldest version under retention: what was laid over it later does not count. */
  private async retained(
    key: string,
  ): Promise<{ version: S3Version; retention: Retention } | undefined> {
    const versions = (await this.bucket.versionsOf(key)).filter(({ isMarker }) => !isMarker);
    for (const version of versions.reverse()) {
      const retention = await this.bucket.retentionOf(key, version.versionId);
      if (retention !== undefined) return { version, retention };
    }
    return undefined;
  }

  private bytesOf(key: string, versionId: string | undefined): Promise<Uint8Array | undefined> {
    return this.bucket.attempt(`reading ${key}`, async () => {
      const source = await this.bucket.get(key, { versionId });
      if (source === undefined) return undefined;
      const chunks: Uint8Array[] = [];
      for await (const chunk of source as AsyncIterable<Uint8Array>) chunks.push(chunk);
      return Buffer.concat(chunks);
    });
  }
}

function retainedFault(key: string, { until }: Retention): ObjectStoreError {
  return new ObjectStoreError(
    'named-retained',
    `${key} is retained until ${until.toISOString()}: it can be neither replaced nor removed before`,
  );
}
