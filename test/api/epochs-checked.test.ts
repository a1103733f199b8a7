/**
 * What a later reader is told of an archive that was set back: the check of the whole archive, the exported
 * history, a dossier, and a second verifier (test/conformance/ledger.py, Python's standard library, written
 * from the published texts). Expected numbers are those of the entries that this test itself wrote.
 */
import { spawnSync } from 'node:child_process';
import { cpSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { jest } from '@jest/globals';
import { startWorker } from '../../apps/worker/src/start-worker.js';
import { type HomeArchive, serveHome } from '../support/home-archive.js';
import { Client } from '../support/media-archive.js';
import { rewriteHistory } from '../support/rewrite-history.js';
import { mullion } from '../support/run-command.js';
import { makeSetBack, type SetBack } from '../support/set-back.js';
import { dossierOf } from '../tamper/sample-archive.js';

const VERIFIER = join(import.meta.dirname, '../conformance/ledger.py');

interface Judgement {
  result: string;
  faults: { place: string; reason: string }[];
  losses: { log: string; of: string; from: number; to: number }[];
}

let set: SetBack;
let archive: HomeArchive;
let origin: string;
let knownSize: number;
let before: string;

beforeAll(async () => {
  set = await makeSetBack();
  [origin, knownSize] = [set.known.split('\n')[0]!, Number(set.known.split('\n')[1])];
  writeFileSync(set.at('known.txt'), set.known);
  expect(await set.restore('back')).toMatchObject({ status: 0 });
  cpSync(set.at('home/objects/named/checkpoints'), set.at('back/objects/named/checkpoints'), {
    recursive: true,
  });
  archive = await serveHome(set.at('back')); // opens the second epoch of the site's log
  await set.describeSite(set.keeperOf(archive), 'After');
  before = await fingerprint();
}, 240_000);
afterAll(async () => {
  await archive.close();
  await set.close();
});

async function fingerprint(): Promise<string> {
  const { body } = await set.keeperOf(archive).get('/v1/state').expect(200);
  return (body as { archive: { fingerprint: string } }).archive.fingerprint;
}

const admin = (...args: string[]) => mullion(['admin', ...args, '--home', set.at('back')]);

function second(what: 'export' | 'dossier', path: string, known?: string): Judgement {
  const more = known === undefined ? [] : ['--fingerprint', known];
  const run = spawnSync('python3', ['-I', VERIFIER, what, path, ...more], { encoding: 'utf8' });
  expect(run.stderr).toBe('');
  return JSON.parse(run.stdout) as Judgement;
}

/** Entries that were there and are not in the restored archive. */
const lost = () => ({ from: knownSize - 3, to: knownSize });
const inWords = () => `Entries ${lost().from} to ${lost().to - 1} as they were then are lost`;

/** Heads that a newer one overtook were not copied; the newest always was. */
const lostCopies = () =>
  readdirSync(set.at(`home/objects/named/checkpoints/${set.siteId}`)).filter(
    (size) => Number(size) > lost().from,
  ).length;

async function writtenDossier(name: string): Promise<string> {
  const worker = await startWorker(archive.config);
  try {
    const client = new Client(archive.url, set.keeper.cookie);
    writeFileSync(set.at(name), await dossierOf(client, set.siteId));
  } finally {
    await worker.close();
  }
  return set.at(name);
}

/** Every check, by somebody who brings that fingerprint. */
async function expectVerified(name: string, known: string): Promise<void> {
  const whole = await admin('check', '--fingerprint', known);
  expect(whole).toMatchObject({ status: 0, err: expect.not.stringContaining('Error') as string });
  expect(whole.out).toContain('Mind: the archive tells of one loss');
  expect(whole.out).toContain(inWords());
  expect(whole.out).toContain(
    `${lostCopies()} copies in the object store are of checkpoints that were lost`,
  );

  const folder = set.at(`${name}-history`);
  expect(await admin('export-log', folder)).toMatchObject({ status: 0 });
  expect(readdirSync(folder)).toHaveLength(3);
  const exported = await mullion(['verify', folder, '--fingerprint', known]);
  expect([exported.status, exported.out]).toEqual([0, expect.stringContaining(inWords())]);
  expect((await mullion(['verify', folder])).status).toBe(3);
  const result = 'verified-against-fingerprint';
  const losses = [{ log: `${origin}/epoch/2`, of: origin, ...lost() }];
  expect(second('export', folder, known)).toMatchObject({ result, faults: [], losses });
  expect(second('export', folder).result).toBe('consistent-key-unknown');

  const dossier = await writtenDossier(`${name}.zip`);
  const verified = await mullion(['verify', dossier, '--fingerprint', known]);
  expect([verified.status, verified.out]).toEqual([0, expect.stringContaining(inWords())]);
  expect(second('dossier', dossier, known)).toMatchObject({ result, faults: [], losses });
}

it('is verified by its fingerprint, and the loss is told by every check', async () => {
  await expectVerified('first', before);
  const kept = await admin('check', '--known', set.at('known.txt'), '--objects', 'none');
  expect([kept.status, kept.out]).toEqual([
    3,
    expect.stringContaining(`(known.txt) is over ${knownSize} entries, of which the last are lost`),
  ]);
}, 300_000);

it('stays so when the key is handed on after the restore, by the old fingerprint and the new', async () => {
  expect(await admin('key', 'rotate')).toMatchObject({ status: 0 });
  const after = await fingerprint();
  expect(after).not.toBe(before);
  await expectVerified('rotated-new', after);
  await expectVerified('rotated-old', before);
  // RFC 8032 section 7.1, test 2: the fingerprint of a published key, of no archive
  const stranger = 'SWX8-7RPY-4XTP-MH48-8N6S-VR43-MY9R';
  expect((await admin('check', '--fingerprint', stranger, '--objects', 'none')).status).toBe(4);
  expect(second('export', set.at('rotated-new-history'), stranger).result).toBe('altered');
  const dossier = set.at('rotated-new.zip');
  expect((await mullion(['verify', dossier, '--fingerprint', stranger])).status).toBe(4);
}, 300_000);

it('is altered for all of them where the closed log was rewritten and signed again', async () => {
  const keys = readdirSync(set.at('back')).filter((name) =>
    name.startsWith(`archive-key.${before}`),
  );
  expect(keys).toHaveLength(1);
  await rewriteHistory(archive.ownerUrl, {
    logId: set.siteId,
    seq: 2,
    keyFile: set.at(`back/${keys[0]!}`),
  });
  const whole = await admin('check', '--objects', 'none', '--without-projections');
  expect(whole.status).toBe(4);
  expect(whole.out).toContain(
    `epoch ${origin}: it has another root than that with which it was closed`,
  );
  const folder = set.at('rewritten');
  expect(await admin('export-log', folder)).toMatchObject({ status: 0 });
  const exported = await mullion(['verify', folder]);
  expect([exported.status, exported.out]).toEqual([4, expect.stringContaining('was closed')]);
  expect(second('export', folder).faults).toContainEqual(
    expect.objectContaining({
      place: 'epoch',
      reason: expect.stringContaining('not as it was') as string,
    }),
  );
}, 120_000);

it('and where a copy lies in the store that is beyond what any epoch tells', async () => {
  const copies = set.at(`back/objects/named/checkpoints/${set.siteId}`);
  const unsigned = set.known.replace(/\n\d+\n/, `\n${knownSize + 9}\n`);
  writeFileSync(join(copies, String(knownSize + 9)), unsigned);
  const beyond = await admin('check', '--objects', 'none', '--without-projections');
  expect(beyond.out).toContain(`a checkpoint over ${knownSize + 9} entries was handed out`);
  expect(beyond.out).toContain('no later epoch tells of it');
  // nobody known signed it, so that it opens nothing; whoever starts the archive is told
  await archive.close();
  const said = jest.spyOn(console, 'error').mockImplementation(() => undefined);
  archive = await serveHome(set.at('back'));
  expect(said.mock.calls.join()).toContain(
    `a checkpoint over ${knownSize + 9} entries of ${origin}, which has 3 here; no key that this archive knows signed it`,
  );
  said.mockRestore();
}, 60_000);
