import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describeObjectStore } from './objects.contract.js';
import { openObjectStore } from './open-object-store.js';
import { describeTendedStore } from './tended.contract.js';

// The contract is registered only where a real S3 service is given (S3_ENDPOINT, S3_ACCESS_KEY,
// S3_SECRET_KEY); without one this file tests the refusals alone and claims nothing about S3.
const { S3_ENDPOINT: endpoint, S3_ACCESS_KEY: accessKey, S3_SECRET_KEY: secretKey } = process.env;

if (endpoint !== undefined) {
  if (accessKey === undefined || secretKey === undefined) {
    throw new Error('S3_ENDPOINT is given: S3_ACCESS_KEY and S3_SECRET_KEY are needed too');
  }
  const spoolFolder = await mkdtemp(join(tmpdir(), 's3-spool-'));
  afterAll(() => rm(spoolFolder, { recursive: true }));
  const place = (name: string) =>
    `s3://mullion-test-${name}-${Date.now()}?endpoint=${encodeURIComponent(endpoint)}`;
  const access = { accessKey, secretKey, spoolFolder };
  const locked = place('locked');
  const retaining = { ...access, needsLock: true, retainOriginalsMs: 6_000 };
  describeObjectStore(`S3 at ${endpoint}, with Object Lock`, () =>
    openObjectStore(locked, retaining),
  );
  describeTendedStore(`S3 at ${endpoint}, with Object Lock`, () =>
    openObjectStore(locked, retaining),
  );
  const plain = place('plain');
  describeTendedStore(`S3 at ${endpoint}, without versions`, () => openObjectStore(plain, access));
}

describe('an S3 place without keys', () => {
  it('is refused before any request', async () => {
    await expect(
      openObjectStore('s3://bucket?endpoint=http%3A%2F%2F127.0.0.1%3A1'),
    ).rejects.toMatchObject({ fault: 'locator-invalid' });
  });
});
