/** Bytes on their way into a bucket: one PUT for small ones, parts for large ones. */
import { hash } from 'node:crypto';
import { type FileHandle, open } from 'node:fs/promises';
import { ObjectStoreError } from './object-store.js';
import { type Retention, retentionHeaders, type S3Bucket } from './s3-bucket.js';

const PART_BYTES = 16 * 1024 * 1024;
/** "Part numbers can be any number from 1 to 10,000": Amazon S3 User Guide, multipart upload limits. */
const PARTS_MAX = 10_000;

/** Bytes that can be read again, for a part may have to be sent twice. */
export interface PartSource {
  sizeBytes: number;
  /** bytes start … end − 1 */
  read(start: number, end: number): Promise<Buffer>;
}

export function bytesAsSource(bytes: Uint8Array): PartSource {
  const whole = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  return {
    sizeBytes: whole.length,
    read: (start, end) => Promise.resolve(whole.subarray(start, end)),
  };
}

export async function withFileAsSource<T>(
  path: string,
  sizeBytes: number,
  use: (source: PartSource) => Promise<T>,
): Promise<T> {
  const handle = await open(path, 'r');
  try {
    return await use({ sizeBytes, read: (start, end) => readPart(handle, path, start, end) });
  } finally {
    await handle.close();
  }
}

/**
 * Sends the bytes and answers once the service says that as many lie there as were sent. Each PUT and
 * each part carries its MD5 (and without TLS its SHA-256), which the service holds against what came.
 *
 * @returns id of the version, where the bucket has versions
 * @throws {ObjectStoreError} `store-unavailable`, `store-full`; what was begun is given up then
 */
export async function upload(
  bucket: S3Bucket,
  key: string,
  source: PartSource,
  retention?: Retention,
): Promise<string | undefined> {
  const headers = retentionHeaders(retention);
  const partBytes = Math.max(
    bucket.place.partBytes ?? PART_BYTES,
    Math.ceil(source.sizeBytes / PARTS_MAX),
  );
  let versionId: string | undefined;
  if (source.sizeBytes <= partBytes) {
    const bytes = await source.read(0, source.sizeBytes);
    versionId = await bucket.put(key, bytes, { ...headers, 'Content-MD5': md5(bytes) });
  } else versionId = await uploadInParts(bucket, key, source, partBytes, headers);

  const stored = await bucket.stat(key, versionId);
  if (stored === undefined || stored.sizeBytes !== source.sizeBytes) {
    throw new ObjectStoreError(
      'store-unavailable',
      `the store took ${source.sizeBytes} bytes as ${key} and holds ${stored?.sizeBytes ?? 'none'}: nothing was acknowledged`,
    );
  }
  // some services (Ceph RADOS Gateway 16) forget the retention of what comes in parts
  if (retention !== undefined && (await bucket.retentionOf(key, versionId)) === undefined) {
    await bucket.prolong(key, versionId ?? stored.versionId, retention);
  }
  return versionId;
}

async function uploadInParts(
  bucket: S3Bucket,
  key: string,
  source: PartSource,
  partBytes: number,
  headers: Record<string, string>,
): Promise<string | undefined> {
  const { client, place } = bucket;
  // an upload of its own: two that send the same object never share parts
  const uploadId = await bucket.attempt(`beginning ${key}`, () =>
    client.initiateNewMultipartUpload(place.bucket, key, { ...headers }),
  );
  try {
    const parts: { part: number; etag: string }[] = [];
    for (let start = 0; start < source.sizeBytes; start += partBytes) {
      const bytes = await source.read(start, Math.min(start + partBytes, source.sizeBytes));
      const part = parts.length + 1;
      const { etag } = await bucket.attempt(`sending part ${part} of ${key}`, () =>
        client.uploadPart(
          {
            bucketName: place.bucket,
            objectName: key,
            uploadID: uploadId,
            partNumber: part,
            headers: { 'Content-MD5': md5(bytes) },
          },
          bytes,
        ),
      );
      parts.push({ part, etag });
    }
    const { versionId } = await bucket.attempt(`joining the parts of ${key}`, () =>
      client.completeMultipartUpload(place.bucket, key, uploadId, parts),
    );
    return versionId ?? undefined;
  } catch (error) {
    // a service that is down keeps the parts until they are swept
    await client.abortMultipartUpload(place.bucket, key, uploadId).catch(() => undefined);
    throw error;
  }
}

async function readPart(
  handle: FileHandle,
  path: string,
  start: number,
  end: number,
): Promise<Buffer> {
  const bytes = Buffer.allocUnsafe(end - start);
  let filled = 0;
  while (filled < bytes.length) {
    const { bytesRead } = await handle.read(bytes, filled, bytes.length - filled, start + filled);
    if (bytesRead === 0) throw new Error(`${path} became shorter while it was sent`);
    filled += bytesRead;
  }
  return bytes;
}

/** Content-MD5, RFC 1864. */
function md5(bytes: Uint8Array): string {
  return hash('md5', bytes, 'base64');
}
