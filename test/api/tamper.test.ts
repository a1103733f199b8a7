/**
 * An archive that somebody with the whole machine changed: one bit at a time (`npm run tamper` tries
 * 1,000), and by forgers who make all of it fit again. Expected places come from the rows as they were
 * before; a forgery is judged by what lies outside: fingerprint, kept checkpoint, witness, copy.
 */

import { spawnSync } from 'node:child_process';
import { createPrivateKey, generateKeyPairSync } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { signerFromKey } from '#libs/archive';
import { randomStream } from '../bench/generator/random-stream.js';
import { forge } from '../tamper/forge.js';
import { runFlips } from '../tamper/run-flips.js';
import { type SampleArchive, startSampleArchive } from '../tamper/sample-archive.js';

let archive: SampleArchive;
beforeAll(async () => {
  archive = await startSampleArchive();
}, 300_000);
afterAll(() => archive.close());

it('a sound archive is consistent, and verified by its fingerprint', async () => {
  const report = await archive.check();
  expect(report).toMatchObject({ result: 'consistent-key-unknown', findings: [] });
  expect(report.projections!.rows).toBeGreaterThan(250);
  expect(report.logs.map(({ size, checkpoints }) => size > 0 && checkpoints > 0)).toEqual([
    true,
    true,
  ]);
  const verified = await archive.check({ fingerprint: archive.fingerprint });
  expect(verified).toMatchObject({ result: 'verified-against-fingerprint', findings: [] });
}, 120_000);

it('one bit turned over anywhere is found, and named by its mark', async () => {
  const rows = await runFlips(archive, 36, randomStream('a bit'));
  expect(rows.flatMap((row) => row.misses)).toEqual([]);
  expect(rows.every(({ tried, located }) => tried > 0 && located === tried)).toBe(true);
}, 300_000);

describe('a forger with database and disk', () => {
  const ownKey = () => generateKeyPairSync('ed25519').privateKey;
  const archiveKey = () => createPrivateKey(readFileSync(archive.keyFile));

  it('who signs everything again with a key of their own is never verified', async () => {
    const key = ownKey();
    const undo = await forge(archive, { key, withCopies: true });
    try {
      const { publicKey } = signerFromKey(key);
      // without anything from outside it fits itself: that is what the second result is for
      expect(await archive.check({ publicKey, withProjections: false })).toMatchObject({
        result: 'consistent-key-unknown',
        findings: [],
      });
      const report = await archive.check({
        publicKey,
        fingerprint: archive.fingerprint,
        withProjections: false,
      });
      expect(report.result).toBe('altered');
      expect(report.findings.map(({ place }) => place)).toContain('key');
    } finally {
      await undo();
    }
  }, 120_000);

  it('who signs again but leaves the copies is found by the copies', async () => {
    const key = ownKey();
    const undo = await forge(archive, { key, withCopies: false });
    try {
      const { publicKey } = signerFromKey(key);
      const report = await archive.check({ publicKey, withProjections: false });
      expect(report.result).toBe('altered');
      expect(report.findings[0]!.reason).toContain('the copy in the object store');
    } finally {
      await undo();
    }
  }, 120_000);

  it('who has the key and rewrote the past is found by a checkpoint kept elsewhere', async () => {
    const { rows } = await archive.machine.query<{ note: string }>(
      'SELECT note FROM checkpoint WHERE log_id = $1 ORDER BY size DESC LIMIT 1',
      [archive.siteId],
    );
    const known = [{ name: 'kept.txt', note: rows[0]!.note }];
    const trust = { fingerprint: archive.fingerprint, withProjections: false };
    expect((await archive.check({ ...trust, known })).result).toBe('verified-against-fingerprint');
    const undo = await forge(archive, { key: archiveKey(), withCopies: true });
    try {
      // by the key alone nobody can tell: said in the README
      expect((await archive.check(trust)).result).toBe('verified-against-fingerprint');
      const report = await archive.check({ ...trust, known });
      expect(report.result).toBe('altered');
      expect(report.findings.map(({ reason }) => reason).join()).toContain(
        'the checkpoint you kept (kept.txt)',
      );
    } finally {
      await undo();
    }
  }, 120_000);

  it('who has the key and set the archive back is found by a copy and by a kept checkpoint', async () => {
    const undo = await forge(archive, { key: archiveKey(), withCopies: false, keep: 10 });
    try {
      const report = await archive.check({
        fingerprint: archive.fingerprint,
        withProjections: false,
        objectsMode: 'none',
      });
      expect(report.result).toBe('altered');
      expect(report.findings.map(({ reason }) => reason).join()).toContain('it was set back');
    } finally {
      await undo();
    }
  }, 120_000);
});

describe('as commands', () => {
  const main = join(import.meta.dirname, '../../apps/cli/src/main.ts');
  const loader = join(import.meta.dirname, '../run-source.mjs');

  function mullion(...args: string[]) {
    const run = spawnSync(process.execPath, ['--import', loader, main, ...args], {
      encoding: 'utf8',
      env: {
        ...process.env,
        NODE_OPTIONS: '',
        DATABASE_URL: archive.databaseUrl,
        MULLION_HOME: archive.home,
        MULLION_KEY_FILE: archive.keyFile,
      },
    });
    return { status: run.status, out: run.stdout, err: run.stderr };
  }

  it('check says what it found by its exit status', () => {
    const known = mullion('admin', 'check', '--fingerprint', archive.fingerprint);
    expect([known.status, known.out]).toEqual([0, expect.stringContaining('Verified: unaltered')]);
    const unknown = mullion('admin', 'check', '--objects', 'sample', '--without-projections');
    expect(unknown.status).toBe(3);
    // RFC 8032 section 7.1, test 2: the fingerprint of a published key, of no archive
    const another = mullion(
      'admin',
      'check',
      '--fingerprint',
      'SWX8-7RPY-4XTP-MH48-8N6S-VR43-MY9R',
    );
    expect(another.status).toBe(4);
    expect(mullion('admin', 'check', '--fingerprint', 'SWX8').status).toBe(2);
  }, 120_000);

  it('export-log writes what verify takes, and refuses a folder that is there', () => {
    const folder = join(archive.home, 'history');
    expect(mullion('admin', 'export-log', folder).status).toBe(0);
    expect(mullion('admin', 'export-log', folder).status).toBe(1);
    const verified = mullion('verify', folder, '--fingerprint', archive.fingerprint);
    expect([verified.status, verified.err]).toEqual([0, '']);
    expect(mullion('verify', folder).status).toBe(3);
  }, 120_000);
});
