import { randomBytes } from 'node:crypto';
import fc from 'fast-check';
import { keptGenerations } from './prune-backup.js';
import { passphraseRecipientOf } from './recipients.js';
import { cutRows } from './row-chunks.js';
import { OpenedPart, PartSealer } from './sealed-part.js';

// eslint-disable-next-line @typescript-eslint/require-await -- a stream
async function* inPieces(text: Buffer, size: number): AsyncGenerator<Uint8Array> {
  for (let at = 0; at < text.length; at += size) yield text.subarray(at, at + size);
}

async function chunksOf(text: Buffer, size = 1000): Promise<string[]> {
  const found: string[] = [];
  for await (const { bytes } of cutRows(inPieces(text, size)))
    found.push(Buffer.from(bytes).toString());
  return found;
}

describe('rows in chunks', () => {
  it('are all there, whole lines, however they arrive', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(
          fc.string({ minLength: 0, maxLength: 40 }).map((line) => line.replaceAll('\n', '')),
        ),
        fc.integer({ min: 1, max: 50 }),
        async (lines, size) => {
          const text = lines.map((line) => `${line}\n`).join('');
          expect((await chunksOf(Buffer.from(text), size)).join('')).toBe(text);
        },
      ),
      { numRuns: 50 },
    );
  });

  it('stay the same where nothing was added', async () => {
    const lines = Array.from({ length: 40_000 }, (_, i) => `${i}\t${i * 7919}\n`);
    const before = await chunksOf(Buffer.from(lines.join('')));
    lines.splice(20_000, 0, 'one more row\n');
    const after = await chunksOf(Buffer.from(lines.join('')));
    expect(before.length).toBeGreaterThan(8);
    const changed = after.filter((chunk) => !before.includes(chunk));
    expect(changed.length).toBeLessThanOrEqual(2);
  });

  it('refuse a row that is cut off', async () => {
    await expect(chunksOf(Buffer.from('whole\ncut'))).rejects.toThrow('cut off');
  });
});

describe('generations that stay', () => {
  // 25 November 2026 is a Wednesday; names carry the day
  const days = Array.from({ length: 60 }, (_, back) => {
    const day = new Date(Date.UTC(2026, 10, 25) - back * 86_400_000);
    return `${day.toISOString().replace(/[-:]|\.\d+/g, '')}-abc123`;
  });

  it('are the newest and the last of each week', () => {
    const kept = keptGenerations(days, { newest: 3, weeks: 4 });
    // newest three, and the Sundays before: 22, 15 and 8 November (the week under way has the 25th)
    expect(kept.map((name) => name.slice(4, 8))).toEqual([
      '1125',
      '1124',
      '1123',
      '1122',
      '1115',
      '1108',
    ]);
  });

  it('always hold one', () => {
    expect(keptGenerations(days, { newest: 0, weeks: 0 })).toEqual([days[0]]);
  });
});

describe('the sealed part', () => {
  it('opens in its order only, and with nothing left out', async () => {
    const kept = new Map<string, Uint8Array>();
    const sealer = PartSealer.for(
      [await passphraseRecipientOf('a passphrase for the test')],
      (bytes) => {
        const name = `sha256:${randomBytes(32).toString('hex')}`;
        kept.set(name, bytes);
        return Promise.resolve(name);
      },
    );
    await sealer.add(Buffer.from('first'));
    await sealer.add(Buffer.from('second'));
    const part = await sealer.end({ files: [], tables: [], jobs: [] });
    const read = (digest: string) => Promise.resolve(kept.get(digest)!);
    const opener = { passphrase: 'a passphrase for the test' };
    const opened = await OpenedPart.open(part, opener, read);
    expect(Buffer.from(await opened!.chunk(1)).toString()).toBe('second');

    const [a, b, index] = part.chunks as [string, string, string];
    const swapped = await OpenedPart.open({ ...part, chunks: [b, a, index] }, opener, read);
    await expect(swapped!.chunk(0)).rejects.toThrow();
    await expect(OpenedPart.open({ ...part, chunks: [a, index] }, opener, read)).rejects.toThrow();
  });
});
