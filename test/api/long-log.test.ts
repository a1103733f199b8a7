/** Proofs where tiles are full: a proof's tile comes with the log, and is remembered. */
import { leafHash, verifyConsistency, verifyInclusion } from '#libs/ledger';
import { lengthen } from '../bench/ledger/proofs.js';
import { type ApiArchive, answer, type Person, startApiArchive } from '../support/api-archive.js';

const SIZE = 700; // two full tiles of 256 (C2SP tlog-tiles) and a part of a third

let archive: ApiArchive;
let siteId: string;
let from: number;
/** reads the other site's log, and not this one */
let stranger: Person;
beforeAll(async () => {
  archive = await startApiArchive();
  ({ siteId } = await archive.site('SLM'));
  const other = await archive.site('XYZ');
  stranger = await archive.person('glazier', 'recorder', other.siteId);
  const log = { ownerUrl: archive.ownerUrl, siteId };
  from = await lengthen(log, 300);
  await lengthen(log, SIZE); // the first tile is there already, and stays
}, 60_000);
afterAll(() => archive.close());

interface Proof {
  readonly hashes: string[];
  readonly rootHash: string;
  readonly fromRootHash: string;
}

const bytesOf = (base64: string) => new Uint8Array(Buffer.from(base64, 'base64'));
const prove = (seq: number, who = archive.keeper) => who.get(`/v1/logs/${siteId}/proof?seq=${seq}`);

it('tells nothing to somebody who may not read the log, whether its tile is remembered or not', async () => {
  const refused = { type: '/problems/log-unknown' };
  expect(await answer(prove(300, stranger), 404)).toMatchObject(refused);
  await answer(prove(300), 200);
  expect(await answer(prove(300, stranger), 404)).toMatchObject(refused);
});

it('proves every kind of entry, from the database and from memory', async () => {
  const path = `/v1/logs/${siteId}`;
  for (const seq of [from, 255, 256, 300, 511, 512, SIZE - 1, 255, 256, 512]) {
    const { hashes, rootHash } = await answer<Proof>(prove(seq), 200);
    const leaf = leafHash(Buffer.from(`entry ${seq}`));
    const head = { size: SIZE, root: bytesOf(rootHash) };
    expect(verifyInclusion(leaf, seq, head, hashes.map(bytesOf))).toBe(true);
    const grown = await answer<Proof>(archive.keeper.get(`${path}/consistency?from=${seq}`), 200);
    const first = { size: seq, root: bytesOf(grown.fromRootHash) };
    expect(verifyConsistency(first, head, grown.hashes.map(bytesOf))).toBe(true);
  }
});

it('proves in the tree of an earlier size', async () => {
  for (const size of [301, 512, 600]) {
    const ask = archive.keeper.get(`/v1/logs/${siteId}/proof?seq=300&size=${size}`);
    const { hashes, rootHash } = await answer<Proof>(ask, 200);
    const head = { size, root: bytesOf(rootHash) };
    const leaf = leafHash(Buffer.from('entry 300'));
    expect(verifyInclusion(leaf, 300, head, hashes.map(bytesOf))).toBe(true);
  }
});
