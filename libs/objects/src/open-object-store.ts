import { FileObjectStore } from './file-object-store.js';
import { type ObjectStore, ObjectStoreError } from './object-store.js';
import { S3ObjectStore } from './s3-object-store.js';

/**
 * Opens the store that the configuration names:
 * `file:<folder>` or `s3://<bucket>?endpoint=<url>[&region=<name>]`.
 *
 * @param s3 keys of the S3 service (never part of the locator, which is printed in messages) and
 * the local folder for bytes on their way
 */
export async function openObjectStore(
  locator: string,
  s3?: { accessKey: string; secretKey: string; spoolFolder: string },
): Promise<ObjectStore> {
  if (locator.startsWith('file:')) {
    return FileObjectStore.open(locator.slice('file:'.length).replace(/^\/\/(?=\/)/, ''));
  }
  const url = URL.canParse(locator) ? new URL(locator) : undefined;
  const endpoint = url?.searchParams.get('endpoint');
  if (url?.protocol !== 's3:' || url.hostname === '' || typeof endpoint !== 'string') {
    throw new ObjectStoreError(
      'locator-invalid',
      `expected file:<folder> or s3://<bucket>?endpoint=<url>, got ${locator}`,
    );
  }
  if (s3 === undefined) {
    throw new ObjectStoreError('locator-invalid', `${locator} needs an access key and a secret`);
  }
  const region = url.searchParams.get('region');
  return S3ObjectStore.open({
    bucket: url.hostname,
    endpoint,
    ...s3,
    ...(region === null ? {} : { region }),
  });
}
