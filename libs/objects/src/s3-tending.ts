/** Looking after a bucket: what is set aside, older versions, parts of uploads that never ended. */
import { checkedStream, isWhole } from './checked-read.js';
import { staleFiles } from './durable-file.js';
import { type Leftover, type ListedObject, ObjectStoreError } from './object-store.js';
import { retentionHeaders, type S3Bucket, type S3Version } from './s3-bucket.js';
import { ASIDE, digestOfKey, keyOf, OBJECTS } from './s3-keys.js';

export async function removeVersions(
  bucket: S3Bucket,
  key: string,
  options?: { isWithdrawal?: boolean },
): Promise<void> {
  let isRefused = false;
  for (const version of await bucket.versionsOf(key)) {
    const isRemoved = await bucket.removeVersion(version, options);
    isRefused ||= !isRemoved;
  }
  if (!isRefused) return;
  throw new ObjectStoreError(
    'object-retained',
    `${key} stands under retention and cannot be removed before it ends`,
  );
}

/** A copy first, the object after: at every moment one of the two is there. */
export async function setAside(bucket: S3Bucket, digest: string): Promise<void> {
  const key = keyOf(digest);
  if ((await bucket.stat(key)) === undefined) return;
  if ((await bucket.retentionOf(key)) !== undefined) {
    throw new ObjectStoreError('object-retained', `${digest} stands under retention`);
  }
  await bucket.copy(key, keyOf(digest, ASIDE));
  await removeVersions(bucket, key);
}

export async function putBack(bucket: S3Bucket, digest: string): Promise<boolean> {
  const aside = keyOf(digest, ASIDE);
  if ((await bucket.stat(aside)) === undefined) return false;
  await bucket.copy(aside, keyOf(digest));
  await removeVersions(bucket, aside);
  return true;
}

export async function* listObjects(
  bucket: S3Bucket,
  folder: string,
  after?: string,
): AsyncGenerator<ListedObject> {
  const from = after === undefined ? '' : keyOf(after, folder);
  for await (const { key, sizeBytes, storedAt } of bucket.list(folder, from)) {
    const digest = digestOfKey(key);
    if (digest !== undefined) yield { digest, sizeBytes, storedAt };
  }
}

/** From what was set aside, or from the newest older version that is whole. */
export async function mend(bucket: S3Bucket, digest: string): Promise<boolean> {
  const key = keyOf(digest);
  if ((await bucket.stat(key)) === undefined && (await putBack(bucket, digest))) {
    if (await isVersionWhole(bucket, digest)) return true;
  }
  for (const version of await bucket.versionsOf(key)) {
    if (version.isMarker || !(await isVersionWhole(bucket, digest, version.versionId))) continue;
    if (version.isLatest) return true;
    const retention = await bucket.retentionOf(key, version.versionId);
    await bucket.copy(key, key, {
      versionId: version.versionId,
      headers: retentionHeaders(retention),
    });
    return true;
  }
  return false;
}

/**
 * Parts of uploads that never ended, versions of objects that a later one replaced, and what was
 * spooled here. An older version goes only when the one that replaced it is whole: it may be the last
 * good one. Named texts are let be: their first version is what counts.
 */
export async function leftovers(
  bucket: S3Bucket,
  before: Date,
  { remove = false }: { remove?: boolean } = {},
): Promise<Leftover[]> {
  const spooled = await staleFiles(bucket.place.spoolFolder, before, { remove });
  const parts = { count: 0, sizeBytes: 0 };
  for (const upload of await bucket.openUploads()) {
    if (upload.begunAt >= before) continue;
    parts.count++;
    parts.sizeBytes += upload.sizeBytes;
    if (remove) await bucket.abandon(upload);
  }
  const versions = { count: 0, sizeBytes: 0 };
  for (const folder of [OBJECTS, ASIDE]) {
    const old: S3Version[] = [];
    for await (const version of bucket.versions(folder)) {
      if (!version.isLatest && version.storedAt < before) old.push(version);
    }
    for (const version of old) {
      if (remove && !(await removeOld(bucket, version))) continue;
      versions.count++;
      versions.sizeBytes += version.sizeBytes;
    }
  }
  return [
    { kind: 'half-written' as const, ...spooled },
    { kind: 'upload-part' as const, ...parts },
    { kind: 'old-version' as const, ...versions },
  ].filter(({ count }) => count > 0);
}

async function removeOld(bucket: S3Bucket, version: S3Version): Promise<boolean> {
  const digest = digestOfKey(version.key);
  if (digest === undefined) return false;
  if (version.key === keyOf(digest) && !(await isVersionWhole(bucket, digest))) return false;
  return bucket.removeVersion(version);
}

async function isVersionWhole(
  bucket: S3Bucket,
  digest: string,
  versionId?: string,
): Promise<boolean> {
  const source = await bucket.get(keyOf(digest), { versionId });
  return source !== undefined && isWhole(checkedStream(digest, source));
}
