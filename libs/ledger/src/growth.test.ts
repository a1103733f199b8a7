import { signCheckpoint } from './checkpoint.js';
import { publicKeyOf, signEd25519 } from './ed25519.js';
import { Frontier, type TreeNode } from './frontier.js';
import { verifyGrowth } from './growth.js';
import { leafHash } from './hash.js';
import { consistencyProof } from './tree.js';
import { verifierKey } from './verifier-key.js';

const ORIGIN = 'mullion/5f0c2a9e-demo/site/slm';
const SEED = new Uint8Array(32).fill(7);
const KEY = verifierKey(ORIGIN, publicKeyOf(SEED));

describe('verifyGrowth', () => {
  it('accepts the first head, the same head and a later one', async () => {
    const log = await madeLog('entry');
    expect(verifyGrowth(undefined, log.notes[3]!, [], KEY)).toMatchObject({
      ok: true,
      head: { size: 3 },
    });
    expect(verifyGrowth(log.notes[3], log.notes[3]!, [], KEY)).toMatchObject({ ok: true });
    expect(verifyGrowth(log.notes[3], log.notes[9]!, await log.proof(3, 9), KEY)).toMatchObject({
      ok: true,
      head: { size: 9 },
    });
  });

  it('refuses a history that was rewritten, of any size, with any proof', async () => {
    const [log, other] = [await madeLog('entry'), await madeLog('other')];
    for (const size of [3, 9]) {
      const growth = verifyGrowth(
        log.notes[3],
        other.notes[size]!,
        await other.proof(3, size),
        KEY,
      );
      expect(growth).toMatchObject({ ok: false });
      expect(growth.ok ? '' : growth.reason).toContain('the 3 entries seen before');
    }
  });

  it.each<[string, (log: Log) => [string | undefined, string], string]>([
    ['was set back', (log) => [log.notes[9], log.notes[3]!], 'set back'],
    ['was signed by somebody else', (log) => [log.notes[3], log.forged], 'not signed'],
    ['is cut off', (log) => [log.notes[3], log.notes[9]!.slice(0, -3)], 'cannot be read'],
    [
      'was changed where it was kept',
      (log) => [log.notes[3]!.replace('\n3\n', '\n2\n'), log.notes[9]!],
      'kept here',
    ],
  ])('refuses a head that %s', async (_name, notesOf, words) => {
    const log = await madeLog('entry');
    const growth = verifyGrowth(...notesOf(log), await log.proof(3, 9), KEY);
    expect(growth.ok ? '' : growth.reason).toContain(words);
  });
});

type Log = Awaited<ReturnType<typeof madeLog>>;

async function madeLog(word: string) {
  const nodes = new Map<string, Uint8Array>();
  const frontier = new Frontier();
  const sign = (seed: Uint8Array) =>
    signCheckpoint(
      { origin: ORIGIN, size: frontier.size, root: frontier.root() },
      { publicKey: publicKeyOf(seed), sign: (message) => signEd25519(message, seed) },
    );
  const notes = [await sign(SEED)];
  for (let i = 0; i < 9; i++) {
    frontier.append(
      leafHash(new TextEncoder().encode(`${word} ${i}`)),
      ({ level, index, hash }: TreeNode) => nodes.set(`${level}/${index}`, hash),
    );
    notes.push(await sign(SEED));
  }
  const reader = {
    readHashes: (ids: readonly { level: number; index: number }[]) =>
      Promise.resolve(ids.map(({ level, index }) => nodes.get(`${level}/${index}`)!)),
  };
  return {
    notes,
    forged: await sign(new Uint8Array(32).fill(8)),
    proof: (first: number, second: number) => consistencyProof(reader, first, second),
  };
}
