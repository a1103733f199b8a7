import { randomBytes } from 'node:crypto';
import { mkdtemp, readdir, rm } from 'node:fs/promises';
import { createServer, request as httpRequest, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { buffer } from 'node:stream/consumers';
import { expectSame } from './expect-same.js';
import { MirroredObjectStore } from './mirrored-object-store.js';
import { describeObjectStore } from './objects.contract.js';
import { openObjectStore } from './open-object-store.js';
import { connect, type S3Place } from './s3-connection.js';
import { S3ObjectStore } from './s3-object-store.js';

// Asked of a real S3 service only (see s3-object-store.test.ts); npm run conformance starts one.
const { S3_ENDPOINT: endpoint, S3_ACCESS_KEY: accessKey, S3_SECRET_KEY: secretKey } = process.env;
const spoolFolder = await mkdtemp(join(tmpdir(), 's3-service-'));
afterAll(() => rm(spoolFolder, { recursive: true }));

it('has a spool that starts empty', async () => {
  expect(await readdir(spoolFolder)).toEqual([]);
});

if (endpoint !== undefined && accessKey !== undefined && secretKey !== undefined) {
  const place = (name: string): S3Place => ({
    bucket: `mullion-${name}-${Date.now()}`,
    endpoint,
    accessKey,
    secretKey,
    spoolFolder,
  });
  const objectKey = (digest: string) => `sha256/${digest.slice(7, 9)}/${digest.slice(7)}`;
  const code = 'AccessDenied'; // what Amazon S3 and Ceph answer for a version under retention

  describeObjectStore(`S3 at ${endpoint} with a second bucket`, async () => {
    const [first, second] = await Promise.all([
      S3ObjectStore.open(mirrored[0]!),
      S3ObjectStore.open(mirrored[1]!),
    ]);
    return new MirroredObjectStore(first, second);
  });
  const mirrored = [place('first'), place('second')].map((one) => ({
    ...one,
    needsLock: true,
    retainOriginalsMs: 6_000,
  }));

  describe('Object Lock, asked of the service itself', () => {
    const locked = {
      ...place('lock'),
      needsLock: true,
      retainOriginalsMs: 8_000,
      partBytes: 5 << 20,
    };
    const service = connect(locked);
    let store: S3ObjectStore;
    beforeAll(async () => {
      store = await S3ObjectStore.open(locked);
    });

    async function versionOf(key: string): Promise<string> {
      return (await service.statObject(locked.bucket, key)).versionId!;
    }

    it('lets nobody remove a checkpoint, somebody with the right an original, anybody a derivative', async () => {
      const name = 'checkpoints/lock/1';
      await store.putNamed(name, Buffer.from('one'), {
        retainUntil: new Date(Date.now() + 8_000),
      });
      const large = randomBytes(12_000_000); // three parts
      const original = objectKey((await store.put(large, { retain: 'original' })).digest);
      const derivative = objectKey(
        (await store.put(randomBytes(99), { retain: 'derivative' })).digest,
      );
      const remove = async (key: string, governanceBypass: boolean) =>
        service.removeObject(locked.bucket, key, {
          versionId: await versionOf(key),
          governanceBypass,
        });
      await expect(remove(name, false)).rejects.toMatchObject({ code });
      await expect(remove(name, true)).rejects.toMatchObject({ code });
      await expect(remove(original, false)).rejects.toMatchObject({ code });
      await remove(original, true);
      await remove(derivative, false);
    });

    it('reads the first text of a checkpoint, whatever is laid over it', async () => {
      const name = 'checkpoints/lock/2';
      await store.putNamed(name, Buffer.from('first'), {
        retainUntil: new Date(Date.now() + 8_000),
      });
      await service.putObject(locked.bucket, name, Buffer.from('forged'));
      await service.removeObject(locked.bucket, name);
      expect(Buffer.from((await store.readNamed(name))!).toString()).toBe('first');
      const listed: string[] = [];
      for await (const key of store.listNamed('checkpoints/lock/')) listed.push(key);
      expect(listed).toContain(name);
    });

    it('mends an object from the version that somebody laid bytes over, then sweeps the old ones', async () => {
      const bytes = randomBytes(5000);
      const { digest } = await store.put(bytes);
      await service.putObject(locked.bucket, objectKey(digest), randomBytes(5000));
      await expect(buffer(await store.read(digest))).rejects.toMatchObject({
        fault: 'object-damaged',
      });
      expect(await store.mend(digest)).toBe(true);
      expectSame(await buffer(await store.read(digest)), bytes);
      const soon = new Date(Date.now() + 60_000);
      const found = await store.leftovers(soon);
      expect(found.find(({ kind }) => kind === 'old-version')!.count).toBeGreaterThanOrEqual(2);
      await store.leftovers(soon, { remove: true });
      expectSame(await buffer(await store.read(digest)), bytes);
    });

    it('tells and sweeps the parts of an upload that never ended', async () => {
      await service.initiateNewMultipartUpload(locked.bucket, 'sha256/00/never-ended', {});
      const soon = new Date(Date.now() + 60_000);
      const parts = async () =>
        (await store.leftovers(soon)).find(({ kind }) => kind === 'upload-part')?.count ?? 0;
      expect(await parts()).toBe(1);
      expect(await store.leftovers(new Date(Date.now() - 60_000))).toEqual([]);
      await store.leftovers(soon, { remove: true });
      expect(await parts()).toBe(0);
    });

    it('refuses a bucket without Object Lock where retention is wanted', async () => {
      const plain = place('plain');
      await openObjectStore(`s3://${plain.bucket}?endpoint=${encodeURIComponent(endpoint)}`, plain);
      await expect(S3ObjectStore.open({ ...plain, needsLock: true })).rejects.toMatchObject({
        fault: 'locator-invalid',
      });
    });
  });

  describe('a way to the service that fails', () => {
    type Trouble = 'none' | 'refuse' | 'hang' | '500' | 'truncate' | 'flip' | 'swallow';
    let trouble: Trouble = 'none';
    let proxy: Server;
    let store: S3ObjectStore;
    let direct: S3ObjectStore;

    beforeAll(async () => {
      const behind = new URL(endpoint);
      proxy = createServer((asked, answer) => {
        if (trouble === 'refuse') return void asked.socket.destroy();
        if (trouble === 'hang') return;
        if (trouble === '500') return void answer.writeHead(500).end();
        void buffer(asked).then((body) => {
          if (trouble === 'swallow' && asked.method === 'PUT') {
            return void answer.writeHead(200, { etag: '"x"' }).end();
          }
          if (trouble === 'flip' && body.length > 0) body[0]! ^= 1;
          const passed = httpRequest(
            {
              host: behind.hostname,
              port: behind.port,
              method: asked.method,
              path: asked.url,
              headers: asked.headers,
            },
            (given) => {
              answer.writeHead(given.statusCode!, given.headers);
              if (trouble !== 'truncate' || asked.method !== 'GET') return void given.pipe(answer);
              given.once('data', (chunk: Buffer) => {
                answer.write(chunk.subarray(0, Math.floor(chunk.length / 2)));
                setTimeout(() => answer.destroy(), 50);
              });
            },
          );
          passed.end(body);
        });
      });
      await new Promise<void>((resolve) => proxy.listen(0, '127.0.0.1', resolve));
      const here = place('proxied');
      const { port } = proxy.address() as AddressInfo;
      const through = { ...here, endpoint: `http://localhost:${port}`, patienceMs: 1_000 };
      store = await S3ObjectStore.open(through);
      direct = await S3ObjectStore.open(here);
    });
    afterAll(() => {
      proxy.closeAllConnections();
      proxy.close();
    });
    beforeEach(() => {
      trouble = 'none';
    });

    it.each(['refuse', 'hang', '500', 'flip', 'swallow'] as const)(
      'acknowledges nothing: %s',
      async (kind) => {
        const bytes = randomBytes(4000);
        trouble = kind;
        await expect(store.put(bytes)).rejects.toMatchObject({ fault: 'store-unavailable' });
        await expect(store.putNamed('a/b', bytes)).rejects.toMatchObject({
          fault: 'store-unavailable',
        });
        trouble = 'none';
        const { digest } = await store.put(bytes);
        expectSame(await buffer(await direct.read(digest)), bytes);
      },
      30_000,
    );

    it('gives no half of an object for the whole', async () => {
      const bytes = randomBytes(400_000);
      const { digest } = await store.put(bytes);
      trouble = 'truncate';
      await expect((async () => buffer(await store.read(digest)))()).rejects.toThrow();
      await expect(store.readRange(digest, 0, bytes.length)).rejects.toMatchObject({
        fault: 'store-unavailable',
      });
    }, 30_000);
  });
}
