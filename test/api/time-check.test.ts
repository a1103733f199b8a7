/**
 * What the check of a whole archive says of time tokens (RFC 3161) that are kept. The tokens come from
 * `openssl ts -reply`, and what is sound or not is what `openssl ts -verify` says of the same bytes.
 */
import { createHash } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { askTime, checkArchive, ownHeads, signerFromPem, Tx } from '#libs/archive';
import type { PgPool } from '#libs/db';
import { FileObjectStore } from '#libs/objects';
import { type ApiArchive, startApiArchive } from '../support/api-archive.js';
import { mullion } from '../support/run-command.js';
import {
  makeTimeAuthority,
  serveTimeAuthority,
  type TimeAuthority,
} from '../support/time-authority.js';
import { machinePool } from '../tamper/sample-archive.js';

let authority: TimeAuthority;
let another: TimeAuthority;
let served: Awaited<ReturnType<typeof serveTimeAuthority>>;
let archive: ApiArchive;
let machine: PgPool;
let origin: string;
let size: number;

beforeAll(async () => {
  [authority, another] = [makeTimeAuthority(), makeTimeAuthority()];
  served = await serveTimeAuthority(authority);
  archive = await startApiArchive();
  const { siteId } = await archive.site('SLM');
  machine = machinePool(archive.config.databaseUrl);
  const tx = new Tx(machine);
  const [head] = await ownHeads(tx, siteId);
  ({ origin, size } = head!);
  const place = { url: served.url, caFile: authority.caFile };
  const said = await askTime(head!, place, { tx, fetch, now: () => new Date(), everyMs: 1000 });
  expect(said).toMatchObject({ kind: 'stamped' });
}, 120_000);
afterAll(async () => {
  await machine.end();
  await archive.close();
  await served.close();
  authority.drop();
  another.drop();
});

async function check(more: { timeAuthorities?: string; asksForTime?: boolean } = {}) {
  const { home, keyFile } = archive.config;
  const objects = await FileObjectStore.open(join(home, 'objects'));
  return checkArchive({
    pool: machine,
    objects,
    stores: [],
    publicKey: signerFromPem(readFileSync(keyFile)).publicKey,
    objectsMode: 'none',
    withProjections: false,
    ...more,
  });
}

const pem = (one: TimeAuthority) => readFileSync(one.caFile, 'utf8');
const times = (report: Awaited<ReturnType<typeof check>>) =>
  report.logs.find((log) => log.origin === origin)!.times;

/** The row with some columns changed while `look` looks. */
async function changed<T>(set: string, value: unknown, look: () => Promise<T>): Promise<T> {
  const { rows } = await machine.query<Record<string, unknown>>('SELECT * FROM time_token');
  await machine.query(`UPDATE time_token SET ${set} = $1`, [value]);
  try {
    return await look();
  } finally {
    await machine.query('DELETE FROM time_token');
    const names = Object.keys(rows[0]!);
    await machine.query(
      `INSERT INTO time_token (${names.join(', ')}) VALUES (${names.map((_, at) => `$${at + 1}`).join(', ')})`,
      Object.values(rows[0]!),
    );
  }
}

const token = async () => {
  const { rows } = await machine.query<{ token: Buffer }>('SELECT token FROM time_token');
  return rows[0]!.token;
};

it('counts a token that holds, by the authority that the reader trusts', async () => {
  const report = await check({ timeAuthorities: pem(authority), asksForTime: true });
  expect(report.findings).toEqual([]);
  expect(times(report)).toEqual({ tokens: 1, newestSize: size });
  // the studio's log was never stamped: told, no fault
  expect(report.notes).toContainEqual(
    expect.stringMatching(/\/studio: no time token is kept for it$/),
  );
  const { rows } = await machine.query<{ note: string }>(
    "SELECT note FROM checkpoint WHERE split_part(note, E'\\n', 1) = $1 AND size = $2",
    [origin, size],
  );
  const files = { note: join(authority.folder, 'note'), token: join(authority.folder, 'kept.der') };
  writeFileSync(files.note, rows[0]!.note);
  writeFileSync(files.token, await token());
  expect(authority.verify(files.note, { token: files.token }).ok).toBe(true);
}, 60_000);

it('says when nobody told whose word to take, and when it is not the reader’s authority', async () => {
  const unknown = await check();
  expect(unknown.findings).toEqual([]);
  expect(unknown.notes.join()).toContain('whose time tokens these are was not checked');
  const other = await check({ timeAuthorities: pem(another) });
  expect(other.findings).toEqual([]);
  expect(times(other).tokens).toBe(0);
  expect(other.notes.join()).toContain('no authority that you named vouches for its certificate');
}, 60_000);

it.each([
  ['over another checkpoint', 'size', () => 1],
  ['at another time', 'stated_at', () => new Date('2020-01-01T00:00:00Z')],
  ['by another name', 'authority', () => 'Somebody else'],
])(
  'names a token that the row tells to be %s',
  async (_, column, value: () => unknown) => {
    const report = await changed(column, value(), () => check({ timeAuthorities: pem(authority) }));
    expect(report.findings).toMatchObject([{ place: 'time-token', log: origin }]);
  },
  60_000,
);

it('names a token with a bit turned over in imprint, time or signature, as openssl refuses it', async () => {
  const kept = await token();
  const { rows } = await machine.query<{ note: string }>(
    "SELECT note FROM checkpoint WHERE split_part(note, E'\\n', 1) = $1 AND size = $2",
    [origin, size],
  );
  const imprint = kept.indexOf(createHash('sha256').update(rows[0]!.note).digest());
  // RFC 3161 section 2.4.2: genTime is a GeneralizedTime, tag 18, fifteen letters without fractions
  const time = kept.indexOf(Buffer.from([0x18, 0x0f, 0x32, 0x30])) + 2;
  // RFC 5652 section 5.3: the signature ends the token of one signer; RSA of 2048 bits
  const signature = kept.length - 256;
  expect(Math.min(imprint, time)).toBeGreaterThan(40);
  const note = join(authority.folder, 'note');
  const file = join(authority.folder, 'changed.der');
  writeFileSync(note, rows[0]!.note);
  for (const at of [imprint, imprint + 31, time + 3, time + 13, signature, kept.length - 1]) {
    const bytes = Buffer.from(kept);
    bytes[at]! ^= 1;
    writeFileSync(file, bytes);
    expect(authority.verify(note, { token: file }).ok).toBe(false);
    const report = await changed('token', bytes, () => check({ timeAuthorities: pem(authority) }));
    expect(report.findings).toMatchObject([{ place: 'time-token', log: origin }]);
    expect(times(report).tokens).toBe(0);
  }
}, 120_000);

it('is told by the command, with the authority named on its line', async () => {
  const { databaseUrl, home, keyFile } = archive.config;
  const env = { DATABASE_URL: databaseUrl, MULLION_HOME: home, MULLION_KEY_FILE: keyFile };
  const args = ['admin', 'check', '--objects', 'none', '--without-projections', '--time-authority'];
  const run = await mullion([...args, authority.caFile], { env });
  expect([run.status, run.out]).toEqual([3, expect.stringContaining('1 time token holds')]);
  const wrong = await mullion([...args, keyFile], { env });
  expect([wrong.status, wrong.err]).toEqual([2, expect.stringContaining('certificate')]);
}, 60_000);
