/** Our cosignatures against a second implementation, written from the specifications in plain Python. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import {
  COSIGNATURE_TYPE,
  cosignatureLine,
  formatVerifierKey,
  publicKeyOf,
  sha256,
  signCheckpoint,
  signEd25519,
  verifierKey,
} from '#libs/ledger';
import { check } from './check.js';
import { outputOf } from './python-tools.js';

const PROGRAM = fileURLToPath(new URL('./cosignature.py', import.meta.url));
const ORIGIN = 'mullion/5f0c2a9e-demo/site/slm';

const signerOf = (byte: number) => {
  const seed = new Uint8Array(32).fill(byte);
  return {
    publicKey: publicKeyOf(seed),
    sign: (message: Uint8Array) => signEd25519(message, seed),
  };
};

export async function checkCosignatures(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'conformance-'));
  try {
    const witness = { name: 'witness.example/w1', ...signerOf(9) };
    const root = sha256(new TextEncoder().encode('any root'));
    const note = await signCheckpoint({ origin: ORIGIN, size: 12, root }, signerOf(7));
    const whole = note + (await cosignatureLine(note, witness, 1_700_000_000));
    const keys = [
      formatVerifierKey(verifierKey(ORIGIN, signerOf(7).publicKey)),
      formatVerifierKey(verifierKey(witness.name, witness.publicKey, COSIGNATURE_TYPE)),
    ];
    const judge = (text: string) => {
      const file = join(folder, 'note.txt');
      writeFileSync(file, text);
      return spawnSync('python3', [PROGRAM, file, ...keys], { encoding: 'utf8' });
    };
    const good = judge(whole);
    check(
      'a second implementation in Python accepts our cosignature and reads its time',
      good.stdout === 'ok 1700000000\n',
      outputOf(good),
    );
    for (const [words, text] of [
      ['another size', whole.replace('\n12\n', '\n13\n')],
      ['no cosignature', note],
      ['the cosignature of another time', note + (await stale(note, witness))],
    ] as const) {
      const bad = judge(text);
      const isRefused = bad.status === 1 && outputOf(bad).startsWith('refused:');
      check(`it refuses the checkpoint with ${words}`, isRefused, outputOf(bad));
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** A line whose time was changed after signing. */
async function stale(note: string, witness: Parameters<typeof cosignatureLine>[1]) {
  const line = await cosignatureLine(note, witness, 1_700_000_000);
  const [dash, name, base64] = line.trim().split(' ') as [string, string, string];
  const bytes = Buffer.from(base64, 'base64');
  bytes[11]! ^= 1;
  return `${dash} ${name} ${bytes.toString('base64')}\n`;
}
