import { randomBytes } from 'node:crypto';
import { buffer } from 'node:stream/consumers';
import { beforeAll, describe, expect, it } from '@jest/globals';
import { expectSame } from './expect-same.js';
import type { TendedStore } from './object-store.js';

/** What every single store must do for whoever looks after it. */
export function describeTendedStore(name: string, open: () => Promise<TendedStore>): void {
  describe(`looking after ${name}`, () => {
    let store: TendedStore;
    beforeAll(async () => {
      store = await open();
    });

    async function asideNow(): Promise<string[]> {
      const digests: string[] = [];
      for await (const { digest } of store.listAside()) digests.push(digest);
      return digests;
    }

    async function listed(): Promise<string[]> {
      const digests: string[] = [];
      for await (const { digest } of store.list()) digests.push(digest);
      return digests;
    }

    it('takes an object out of the way and gives it back to whoever asks', async () => {
      const bytes = randomBytes(3000);
      const { digest } = await store.put(bytes);
      for (const ask of [
        async () => buffer(await store.read(digest)),
        async () => Buffer.from(await store.readRange(digest, 0, bytes.length)),
        async () => ((await store.has(digest)) ? bytes : undefined),
      ]) {
        await store.setAside(digest);
        expect(await listed()).not.toContain(digest);
        expect(await asideNow()).toContain(digest);
        expectSame((await ask())!, bytes);
        expect(await listed()).toContain(digest);
        expect(await asideNow()).not.toContain(digest);
      }
    });

    it('keeps what is stored anew while an old copy is set aside and then discarded', async () => {
      const bytes = randomBytes(2000);
      const { digest } = await store.put(bytes);
      await store.setAside(digest);
      await store.put(bytes);
      await store.discard(digest);
      expectSame(await buffer(await store.read(digest)), bytes);
      expect(await asideNow()).not.toContain(digest);
    });

    it('discards for good, and destroys what is set aside too', async () => {
      const first = await store.put(randomBytes(500));
      await store.setAside(first.digest);
      await store.discard(first.digest);
      expect(await store.has(first.digest)).toBe(false);
      const second = await store.put(randomBytes(500));
      await store.setAside(second.digest);
      await store.destroy(second.digest);
      expect(await store.has(second.digest)).toBe(false);
      expect(await store.putBack(second.digest)).toBe(false);
    });

    it('takes nothing amiss about what is not there', async () => {
      const missing = `sha256:${'1'.repeat(64)}`;
      await store.setAside(missing);
      await store.discard(missing);
      expect(await store.putBack(missing)).toBe(false);
      expect(await store.mend(missing)).toBe(false);
    });

    it('has no leftovers of what ended well', async () => {
      await store.put(randomBytes(1000));
      const kinds = (await store.leftovers(new Date(Date.now() + 60_000))).map(({ kind }) => kind);
      expect(kinds).not.toContain('half-written');
      expect(kinds).not.toContain('upload-part');
    });
  });
}
