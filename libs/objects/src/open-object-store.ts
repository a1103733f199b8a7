import { FileObjectStore } from './file-object-store.js';
import { ObjectStoreError, type TendedStore } from './object-store.js';
import type { S3Place } from './s3-connection.js';
import { S3ObjectStore } from './s3-object-store.js';

/** What an S3 service needs besides its place. */
export type S3Access = Omit<S3Place, 'bucket' | 'endpoint' | 'region' | 'hasBucketInHost'>;

/**
 * Opens the store that the configuration names:
 * `file:<folder>` or `s3://<bucket>?endpoint=<url>[&region=<name>][&style=host]`; `style=host` for a
 * service that wants the bucket's name before its own.
 *
 * @param s3 keys of the S3 service (never part of the locator, which is printed in messages), the
 * local folder for bytes on their way, and what is to be retained
 */
export async function openObjectStore(locator: string, s3?: S3Access): Promise<TendedStore> {
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
    ...(url.searchParams.get('style') === 'host' ? { hasBucketInHost: true } : {}),
  });
}
