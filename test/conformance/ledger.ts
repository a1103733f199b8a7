/**
 * The history judged by a second verifier (ledger.py: Python's standard library, written from the
 * published texts): the vectors, an archive's logs exported by our command's own code, and its dossier;
 * sound, with a fingerprint, with another, and with one bit turned over in each kind of file. On
 * everything it must say what our own verifier says.
 */
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { exportLog, logRows, rolledBack, signerFromPem } from '#libs/archive';
import { createPool } from '#libs/db';
import { verifyDossier } from '#libs/dossier';
import { checkExport, type ExportTrust } from '#libs/ledger';
import globalSetup from '../support/global-setup.mjs';
import globalTeardown from '../support/global-teardown.mjs';
import { type SampleArchive, startSampleArchive } from '../tamper/sample-archive.js';
import { check } from './check.js';
import { outputOf } from './python-tools.js';

const PROGRAM = join(import.meta.dirname, 'ledger.py');
const VECTORS = join(import.meta.dirname, '../../fixtures/standards');
/** A well-formed fingerprint of no archive: that of the published key of RFC 8032 section 7.1, test 2. */
const ANOTHER = 'SWX8-7RPY-4XTP-MH48-8N6S-VR43-MY9R';

interface Judgement {
  result: string;
  faults: { place: string; seq: number | null; path?: string }[];
  entries?: number;
  size?: number;
  references?: { all: number; proven: number };
  counts?: Record<string, number>;
}

export async function checkLedger(): Promise<void> {
  const vectors = judged('vectors', VECTORS);
  const count = Object.values(vectors.counts ?? {}).reduce((sum, one) => sum + one, 0);
  check(`second verifier: ${count} published vectors hold`, vectors.result === 'all hold');
  await globalSetup();
  const folder = mkdtempSync(join(tmpdir(), 'conformance-ledger-'));
  const archive = await startSampleArchive();
  try {
    for (const log of await exported(archive, folder)) await checkOneExport(archive, log);
    await checkOneDossier(archive, folder);
  } finally {
    await archive.close();
    rmSync(folder, { recursive: true, force: true });
    await globalTeardown();
  }
}

function judged(what: string, path: string, fingerprint?: string): Judgement {
  const more = fingerprint === undefined ? [] : ['--fingerprint', fingerprint];
  const run = spawnSync('python3', ['-I', PROGRAM, what, path, ...more], { encoding: 'utf8' });
  try {
    return JSON.parse(run.stdout) as Judgement;
  } catch {
    throw new Error(`ledger.py ${what} ${path}: ${outputOf(run)}`);
  }
}

/** Folders of the exported logs, with two proofs each. */
async function exported(archive: SampleArchive, folder: string): Promise<string[]> {
  const pool = createPool(archive.databaseUrl, { max: 2 });
  const { publicKey } = signerFromPem(readFileSync(archive.keyFile));
  try {
    return await rolledBack(pool, 'BEGIN', async (tx) => {
      const folders: string[] = [];
      for (const log of await logRows(tx)) {
        const into = join(folder, log.logId);
        for await (const { path, bytes } of exportLog(tx, log, publicKey, [0, log.size - 1])) {
          mkdirSync(dirname(join(into, path)), { recursive: true });
          writeFileSync(join(into, path), bytes);
        }
        folders.push(into);
      }
      return folders;
    });
  } finally {
    await pool.end();
  }
}

async function ours(log: string, trust: ExportTrust = {}) {
  return checkExport(
    {
      checkpointSizes: readdirSync(join(log, 'checkpoints'))
        .map(Number)
        .sort((a, b) => a - b),
      proofNames: readdirSync(join(log, 'proofs')),
      read: (path) =>
        Promise.resolve(
          statSync(join(log, path), { throwIfNoEntry: false }) === undefined
            ? undefined
            : new Uint8Array(readFileSync(join(log, path))),
        ),
    },
    trust,
  );
}

async function checkOneExport({ fingerprint }: SampleArchive, log: string): Promise<void> {
  const { checkpoint } = await ours(log);
  const name = checkpoint!.origin.split('/').slice(2).join('/');
  for (const [brought, wanted] of [
    [undefined, 'consistent-key-unknown'],
    [fingerprint, 'verified-against-fingerprint'],
    [ANOTHER, 'altered'],
  ] as const) {
    const mine = await ours(log, brought === undefined ? {} : { fingerprint: brought });
    const theirs = judged('export', log, brought);
    check(
      `second verifier: exported log ${name} (${checkpoint!.size} entries) is ${wanted}, by both`,
      mine.result === wanted && theirs.result === wanted && theirs.entries === checkpoint!.size,
      `ours ${mine.result}, theirs ${theirs.result} ${JSON.stringify(theirs.faults)}`,
    );
  }
  const files = readdirSync(log, { recursive: true, encoding: 'utf8' })
    .filter((path) => statSync(join(log, path)).isFile())
    .sort();
  let agreed = 0;
  for (const path of files) {
    const isBoth = await damaged(join(log, path), async () => {
      const mine = await ours(log, { fingerprint });
      const theirs = judged('export', log, fingerprint);
      return mine.result === 'altered' && theirs.result === 'altered';
    });
    if (isBoth) agreed += 1;
    else check(`second verifier: a bit in ${path} of ${name} is found by both`, false);
  }
  check(
    `second verifier: one bit in each of ${files.length} files of ${name} is found by both`,
    agreed === files.length,
  );
}

/** One bit of the file turned over while `look` looks; which one comes from the file's own name. */
async function damaged(path: string, look: () => Promise<boolean>): Promise<boolean> {
  const bytes = readFileSync(path);
  const changed = Buffer.from(bytes);
  const key = createHash('sha256').update(path.split('/').slice(-2).join('/')).digest();
  changed[key.readUInt32BE(0) % bytes.length]! ^= 1 << (key[4]! % 8);
  writeFileSync(path, changed);
  try {
    return await look();
  } finally {
    writeFileSync(path, bytes);
  }
}

async function checkOneDossier(archive: SampleArchive, folder: string): Promise<void> {
  const zip = join(folder, 'dossier.zip');
  writeFileSync(zip, archive.dossier);
  const run = spawnSync('python3', ['-m', 'zipfile', '-e', zip, join(folder, 'bag')]);
  const bag = join(folder, 'bag', readdirSync(join(folder, 'bag'))[0]!);
  check("second verifier: Python's zipfile unpacks the dossier", run.status === 0);
  for (const [brought, wanted] of [
    [undefined, 'consistent-key-unknown'],
    [archive.fingerprint, 'verified-against-fingerprint'],
    [ANOTHER, 'altered'],
  ] as const) {
    const mine = await verifyDossier(zip, brought === undefined ? {} : { fingerprint: brought });
    const theirs = [zip, bag].map((path) => judged('dossier', path, brought));
    check(
      `second verifier: the dossier is ${wanted}, by both, zipped and unpacked`,
      mine.verdict === wanted && theirs.every(({ result }) => result === wanted),
      `ours ${mine.verdict}, theirs ${JSON.stringify(theirs.map(({ result, faults }) => [result, faults]))}`,
    );
  }
  const { references } = judged('dossier', zip);
  check(
    `second verifier: ${references?.proven ?? 0} of ${references?.all ?? 0} references to other logs are proven`,
    references !== undefined && references.all > 0 && references.proven === references.all,
  );
  const files = readdirSync(bag, { recursive: true, encoding: 'utf8' })
    .filter((path) => statSync(join(bag, path)).isFile() && statSync(join(bag, path)).size > 0)
    .sort();
  let agreed = 0;
  for (const path of files) {
    const isBoth = await damaged(join(bag, path), async () => {
      const mine = await verifyDossier(bag, { fingerprint: archive.fingerprint });
      return mine.verdict === 'altered' && judged('dossier', bag).result === 'altered';
    });
    if (isBoth) agreed += 1;
    else check(`second verifier: a bit in ${path} of the dossier is found by both`, false);
  }
  check(
    `second verifier: one bit in each of ${files.length} files of the dossier is found by both`,
    agreed === files.length,
  );
}
