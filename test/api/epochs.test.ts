/** What follows when a backup that is not the newest is restored, and somebody knows better. */
import { cpSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { rebuildProjections } from '#libs/archive';
import { openObjectStore } from '#libs/objects';
import { Person } from '../support/api-archive.js';
import { everyRow } from '../support/every-row.js';
import { type HomeArchive, serveHome } from '../support/home-archive.js';
import { addSite, type Client, firstKeeper } from '../support/media-archive.js';
import { mullion } from '../support/run-command.js';

const PASSPHRASE = { env: { MULLION_BACKUP_PASSPHRASE: 'five quarries under the ivy' } };

interface LogView {
  logId: string;
  origin: string;
  siteId: string | null;
  epoch: number;
  closed: boolean;
  size: number;
}

let folder: string;
let first: HomeArchive;
let keeper: Client;
let siteId: string;
/** of the site, beyond the backup */
let known: string;
let versionBefore: number;
const at = (name: string): string => join(folder, name);

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'mullion-epochs-'));
  first = await serveHome(at('home'));
  keeper = await firstKeeper(first.url);
  ({ siteId } = await addSite(keeper));
  const made = await mullion(['admin', 'backup', at('disk'), '--home', at('home')], PASSPHRASE);
  expect(made).toMatchObject({ status: 0 });
  // three more entries that the backup does not know
  for (const name of ['One', 'Two', 'Three'])
    versionBefore = await describeSite(keeperOf(first), name);
  known = await (await keeper.fetch(`/v1/logs/${siteId}/checkpoint`)).text();
}, 180_000);
afterAll(async () => {
  await first.close();
  rmSync(folder, { recursive: true, force: true });
});

const keeperOf = ({ url }: HomeArchive): Person => new Person(url, { Cookie: keeper.cookie });

async function describeSite(person: Person, name: string): Promise<number> {
  const { body } = await person.get(`/v1/sites/${siteId}`).expect(200);
  const { version } = body as { version: number };
  const done = await person
    .put(`/v1/sites/${siteId}`, { name, place: null }, { 'If-Match': `"${version}"` })
    .expect(200);
  return (done.body as { version: number }).version;
}

async function logsOf(archive: HomeArchive): Promise<LogView[]> {
  const { body } = await keeperOf(archive).get('/v1/logs').expect(200);
  return (body as { items: LogView[] }).items.filter((log) => log.siteId === siteId);
}

async function firstEntryOf(archive: HomeArchive, logId: string) {
  const { body } = await keeperOf(archive).get(`/v1/logs/${logId}/entries/0`).expect(200);
  const { bytes } = body as { bytes: string };
  return JSON.parse(Buffer.from(bytes, 'base64').toString()) as {
    type: string;
    log: string;
    payload: {
      before: { origin: string; size: number };
      known: { size: number; note: string };
      lost: { from: number; to: number };
      heldBy: string;
      restored: string | null;
    };
  };
}

const restore = (to: string, ...more: string[]) =>
  mullion(['admin', 'restore', at('disk'), '--home', at(to), ...more], PASSPHRASE);

/** The old log is closed and provable, the new one names the loss, and work goes on without collisions. */
async function expectSecondEpoch(archive: HomeArchive, heldBy: string): Promise<void> {
  const [closed, open, ...none] = await logsOf(archive);
  expect(none).toEqual([]);
  expect(closed).toMatchObject({ logId: siteId, epoch: 1, closed: true });
  expect(open).toMatchObject({ logId: `${siteId}.2`, epoch: 2, closed: false });
  expect(open!.origin).toBe(`${closed!.origin}/epoch/2`);
  const knownSize = Number(known.split('\n')[1]);
  const told = await firstEntryOf(archive, open!.logId);
  expect(told).toMatchObject({ type: 'log.epoch', log: open!.origin });
  expect(told.payload).toMatchObject({
    before: { origin: closed!.origin, size: closed!.size },
    known: { size: knownSize, note: known },
    lost: { to: knownSize },
    heldBy,
  });
  // three were written after the backup
  expect(told.payload.lost.to - told.payload.lost.from).toBe(3);
  expect(told.payload.restored).not.toBeNull();
  await keeperOf(archive).get(`/v1/logs/${siteId}/proof?seq=0`).expect(200);

  // what somebody holds from before the loss is stale, never another entry
  const stale = await keeperOf(archive)
    .put(
      `/v1/sites/${siteId}`,
      { name: 'Stale', place: null },
      { 'If-Match': `"${versionBefore}"` },
    )
    .expect(412);
  expect(stale.body).toMatchObject({ type: '/problems/stale-version' });
  const version = await describeSite(keeperOf(archive), 'After');
  expect(version).toBeGreaterThan(versionBefore);
  const { body } = await keeperOf(archive).get(`/v1/logs/${siteId}/entries/${version}`).expect(200);
  expect(body).toMatchObject({ logId: `${siteId}.2`, type: 'site.describe' });

  const before = await everyRow(archive.pool);
  await rebuildProjections(archive.pool, await openObjectStore(archive.config.objects));
  expect(await everyRow(archive.pool)).toEqual(before);
}

describe('a backup older than a checkpoint that somebody holds', () => {
  it('comes back into a new epoch when the checkpoint is given with it', async () => {
    writeFileSync(at('known.txt'), known);
    const restored = await restore('given', '--known-checkpoint', at('known.txt'));
    expect(restored.err).not.toMatch(/Error/);
    expect(restored).toMatchObject({ status: 0 });
    expect(restored.out).toContain(`A new epoch is open: log ${siteId}.2.`);
    const archive = await serveHome(at('given'));
    try {
      await expectSecondEpoch(archive, 'given');
      // its own backup comes back into the same epochs
      const again = await mullion(
        ['admin', 'backup', at('disk-2'), '--home', at('given')],
        PASSPHRASE,
      );
      expect(again).toMatchObject({ status: 0 });
      const newest = await mullion(
        ['admin', 'restore', at('disk-2'), '--home', at('newest')],
        PASSPHRASE,
      );
      expect(newest).toMatchObject({ status: 0 });
      expect(newest.out).not.toContain('new epoch');
    } finally {
      await archive.close();
    }
    const newest = await serveHome(at('newest'));
    try {
      expect((await logsOf(newest)).map(({ epoch }) => epoch)).toEqual([1, 2]);
    } finally {
      await newest.close();
    }
  }, 240_000);

  it('opens one when the store holds the copy of a newer checkpoint', async () => {
    expect(await restore('store')).toMatchObject({ status: 0 });
    cpSync(at('home/objects/named/checkpoints'), at('store/objects/named/checkpoints'), {
      recursive: true,
    });
    const archive = await serveHome(at('store'));
    try {
      await expectSecondEpoch(archive, 'store');
    } finally {
      await archive.close();
    }
  }, 240_000);

  it('tells the fork when a browser shows its checkpoint later, and goes on', async () => {
    expect(await restore('late')).toMatchObject({ status: 0 });
    const archive = await serveHome(at('late'));
    try {
      expect(await logsOf(archive)).toMatchObject([{ epoch: 1, closed: false }]);
      await describeSite(keeperOf(archive), 'Written in good faith');
      const path = `/v1/logs/${siteId}/known`;
      const shown = await keeperOf(archive).post(path, { checkpoint: known }).expect(200);
      expect(shown.body).toMatchObject({
        state: 'epoch',
        logId: `${siteId}.2`,
        seq: 0,
        isNew: true,
      });
      await expectSecondEpoch(archive, 'client');
      // shown again it is known; one that the archive contains opens nothing
      const again = await keeperOf(archive).post(path, { checkpoint: known }).expect(200);
      expect(again.body).toMatchObject({ state: 'epoch', seq: 0, isNew: false });
      const { text } = await keeperOf(archive).get(`/v1/logs/${siteId}.2/checkpoint`).expect(200);
      const own = await keeperOf(archive).post(path, { checkpoint: text }).expect(200);
      expect(own.body).toMatchObject({ state: 'contained', isNew: false });
      // and what nobody signed is refused
      const forged = known.replace(/\n\d+\n/, '\n999999\n');
      const refused = await keeperOf(archive).post(path, { checkpoint: forged }).expect(409);
      expect(refused.body).toMatchObject({ type: '/problems/checkpoint-foreign' });
      await keeperOf(archive).post(path, { checkpoint: 'nothing' }).expect(400);
      expect(await logsOf(archive)).toHaveLength(2);
    } finally {
      await archive.close();
    }
  }, 240_000);
});
