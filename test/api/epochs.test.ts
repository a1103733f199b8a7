/** What follows when a backup that is not the newest is restored, and somebody knows better. */
import { cpSync, writeFileSync } from 'node:fs';
import { rebuildProjections } from '#libs/archive';
import { openObjectStore } from '#libs/objects';
import { everyRow } from '../support/every-row.js';
import { type HomeArchive, serveHome } from '../support/home-archive.js';
import { mullion } from '../support/run-command.js';
import { makeSetBack, PASSPHRASE, type SetBack } from '../support/set-back.js';

interface LogView {
  logId: string;
  origin: string;
  siteId: string | null;
  epoch: number;
  closed: boolean;
  size: number;
}

let set: SetBack;
let siteId: string;
let known: string;

beforeAll(async () => {
  set = await makeSetBack();
  ({ siteId, known } = set);
}, 180_000);
afterAll(() => set.close());

const at = (name: string) => set.at(name);
const keeperOf = (archive: HomeArchive) => set.keeperOf(archive);

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
      { 'If-Match': `"${set.versionBefore}"` },
    )
    .expect(412);
  expect(stale.body).toMatchObject({ type: '/problems/stale-version' });
  const version = await set.describeSite(keeperOf(archive), 'After');
  expect(version).toBeGreaterThan(set.versionBefore);
  await expectNoEntryTakenForAnother(archive, version, open!.origin);

  const before = await everyRow(archive.pool);
  await rebuildProjections(archive.pool, await openObjectStore(archive.config.objects));
  expect(await everyRow(archive.pool)).toEqual(before);
}

interface EntryView {
  logId: string;
  seq: number;
  epoch: number;
  place: number;
  origin: string;
  leafHash: string;
}

/** @param place of an entry of the second epoch, as the version of a record names it */
async function expectNoEntryTakenForAnother(
  archive: HomeArchive,
  place: number,
  origin: string,
): Promise<void> {
  const keeper = keeperOf(archive);
  const [line, second] = [`/v1/logs/${siteId}`, `/v1/logs/${siteId}.2`];
  const ask = async <T>(path: string) => (await keeper.get(path).expect(200)).body as T;
  const entry = await ask<EntryView>(`${line}/entries/${place}`);
  expect(entry).toMatchObject({ logId: `${siteId}.2`, epoch: 2, place, origin });
  expect(await ask(`${second}/entries/${entry.seq}`)).toEqual(entry);
  expect(await ask(`${second}/entries/${place}`)).toEqual(entry);
  const { items } = await ask<{ items: EntryView[] }>(`${line}/entries?from=${place}&limit=1`);
  expect(items).toEqual([entry]);
  // the same number in the first epoch is another entry
  const first = await ask<EntryView>(`${line}/entries/0`);
  const opening = await ask<EntryView>(`${second}/entries/0`);
  expect([first.epoch, opening.epoch]).toEqual([1, 2]);
  expect(first.leafHash).not.toBe(opening.leafHash);
  const proof = await ask<{ leafHash: string }>(`${line}/proof?seq=${place}`);
  expect(proof).toMatchObject({ logId: `${siteId}.2`, epoch: 2, origin, seq: entry.seq });
  expect(Buffer.from(proof.leafHash, 'base64').toString('hex')).toBe(entry.leafHash);
  expect(await ask(`${second}/proof?seq=${entry.seq}`)).toEqual(proof);
  expect(await ask(`${second}/consistency?from=1`)).toMatchObject({ epoch: 2, origin, from: 1 });
  expect(await ask(`${line}/evidence?seq=${place}`)).toEqual({ seen: null, time: null });
  const both = await keeper.get(`${second}/entries/${2 * 2 ** 40}`).expect(404);
  expect(both.body).toMatchObject({
    type: '/problems/entry-unknown',
    detail: 'You ask for entry 0 of epoch 3, and for the log of epoch 2. Leave out one of the two.',
  });
}

describe('a backup older than a checkpoint that somebody holds', () => {
  it('comes back into a new epoch when the checkpoint is given with it', async () => {
    writeFileSync(at('known.txt'), known);
    const restored = await set.restore('given', '--known-checkpoint', at('known.txt'));
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
    expect(await set.restore('store')).toMatchObject({ status: 0 });
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
    expect(await set.restore('late')).toMatchObject({ status: 0 });
    const archive = await serveHome(at('late'));
    try {
      expect(await logsOf(archive)).toMatchObject([{ epoch: 1, closed: false }]);
      await set.describeSite(keeperOf(archive), 'Written in good faith');
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
