import { jest } from '@jest/globals';
import fc from 'fast-check';
import * as yauzl from 'yauzl';
import { crc32, pureHashing } from './digests.js';
import { nodeHashing } from './node-digests.js';
import { zipSource } from './source.js';
import { blobAccess } from './verify-page/picked.js';
import { type RandomAccess, readZipDirectory, readZipMember } from './zip-reader.js';
import { ZipLayout } from './zip-writer.js';

// Many runs of a property, perhaps beside other suites on the same cores.
jest.setTimeout(120_000);

const NAMES = ['a.txt', 'folder/b.bin', 'folder/ü\u4e00.txt', 'empty'];

describe.each([
  ['in the small form', undefined],
  ['in the large form (zip64)', 1],
])('a zip file %s', (_name, smallMax) => {
  it('is read back by another reader, name by name and byte by byte', async () => {
    const zip = zipOf(smallMax);
    const file = await yauzl.fromBufferPromise(Buffer.from(zip), { strictFileNames: true });
    const found: [string, string][] = [];
    for await (const entry of file.eachEntry()) {
      const chunks: Buffer[] = [];
      for await (const chunk of await file.openReadStreamPromise(entry))
        chunks.push(chunk as Buffer);
      expect(entry.crc32).toBe(crc32(bytesOf(entry.fileName)));
      expect(entry.getLastModDate({ timezone: 'UTC' }).toISOString()).toBe(
        '1980-01-01T00:00:00.000Z',
      );
      found.push([entry.fileName, Buffer.concat(chunks).toString()]);
    }
    expect(found).toEqual(NAMES.map((name) => [name, Buffer.from(bytesOf(name)).toString()]));
  });

  it('is read back by the own reader', async () => {
    const access = accessTo(zipOf(smallMax));
    const members = await readZipDirectory(access);
    expect(members.map((member) => member.name)).toEqual(NAMES);
    for (const member of members)
      expect(await bytesFrom(access, member)).toEqual(bytesOf(member.name));
  });

  it('never makes the reader hang or crash when bits are flipped', async () => {
    const zip = zipOf(smallMax);
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(fc.nat(zip.length - 1), fc.nat(7)), { minLength: 1, maxLength: 4 }),
        async (flips) => {
          const bytes = zip.slice();
          for (const [at, bit] of flips) bytes[at]! ^= 1 << bit;
          try {
            const access = accessTo(bytes);
            for (const member of await readZipDirectory(access)) await bytesFrom(access, member);
          } catch (error) {
            expect(error).toMatchObject({
              name: expect.stringMatching(/^(ZipError|Error)$/) as unknown,
            });
          }
        },
      ),
      { numRuns: 300 },
    );
  });
});

describe('the zip reader', () => {
  it('refuses a member that claims less than it unpacks to', async () => {
    // 10,000 zeros, packed by zlib, under the name of ten bytes.
    const packed = (await import('node:zlib')).deflateRawSync(Buffer.alloc(10_000));
    const layout = new ZipLayout();
    const header = layout.header({ name: 'bomb', sizeBytes: packed.length, crc32: 0 });
    const zip = new Uint8Array(Buffer.concat([header, packed, layout.end()]));
    const access = accessTo(zip);
    const [member] = await readZipDirectory(access);
    new DataView(zip.buffer).setUint16(8, 8, true);
    await expect(bytesFrom(access, { ...member!, method: 8, sizeBytes: 10 })).rejects.toThrow(
      'more than it claims',
    );
    await expect(bytesFrom(access, { ...member!, method: 8, sizeBytes: 20_000 })).rejects.toThrow(
      'less than it claims',
    );
  });

  it('tells of members that lie over each other', async () => {
    const zip = zipOf(undefined);
    const [first, second] = await readZipDirectory(accessTo(zip));
    const view = new DataView(zip.buffer);
    for (let at = 0; at < zip.length - 4; at++) {
      // Field 42 of the second entry of the directory: where its own header lies.
      if (
        view.getUint32(at, true) === 0x02014b50 &&
        view.getUint32(at + 42, true) === second!.offset
      ) {
        view.setUint32(at + 42, first!.offset + 1, true);
      }
    }
    expect((await zipSource(accessTo(zip))).problems.join()).toContain('over each other');
  });

  it('refuses an encrypted member', async () => {
    const zip = zipOf(undefined);
    const view = new DataView(zip.buffer);
    for (let at = 0; at < zip.length - 4; at++) {
      if (view.getUint32(at, true) === 0x02014b50) zip[at + 8]! |= 1;
    }
    await expect(readZipDirectory(accessTo(zip))).rejects.toThrow('encrypted');
  });
});

describe('digests', () => {
  // CRC-32 of the nine digits: the check value in every catalogue of CRCs (from memory).
  it('has the published check value of CRC-32', () => {
    expect(crc32(new TextEncoder().encode('123456789'))).toBe(0xcbf43926);
  });

  it('are the same in a browser and in Node, however the bytes arrive', () => {
    fc.assert(
      fc.property(fc.array(fc.uint8Array({ maxLength: 200 })), (chunks) => {
        const [pure, native] = [pureHashing.start(), nodeHashing.start()];
        for (const chunk of chunks) pure.update(chunk);
        native.update(Buffer.concat(chunks));
        expect(pure.finish()).toEqual(native.finish());
      }),
    );
  });
});

function bytesOf(name: string): Uint8Array {
  return new TextEncoder().encode(name === 'empty' ? '' : `bytes of ${name}`.repeat(50));
}

function zipOf(smallMax: number | undefined): Uint8Array {
  const layout = new ZipLayout(smallMax);
  const parts = NAMES.flatMap((name) => {
    const bytes = bytesOf(name);
    return [layout.header({ name, sizeBytes: bytes.length, crc32: crc32(bytes) }), bytes];
  });
  return new Uint8Array(Buffer.concat([...parts, layout.end()]));
}

function accessTo(zip: Uint8Array): RandomAccess {
  return blobAccess({
    size: zip.length,
    slice: (start, end) => ({
      arrayBuffer: () => Promise.resolve(new Uint8Array(zip.slice(start, end)).buffer),
    }),
  });
}

async function bytesFrom(
  access: RandomAccess,
  member: Parameters<typeof readZipMember>[1],
): Promise<Uint8Array> {
  const chunks: Uint8Array[] = [];
  for await (const chunk of readZipMember(access, member)) chunks.push(chunk);
  return new Uint8Array(Buffer.concat(chunks));
}
