/** Two servers on one database: what one of them remembers never stands against what the other wrote. */
import { setTimeout as sleep } from 'node:timers/promises';
import type { PgPool } from '#libs/db';
import type { Archive } from './archive.js';
import {
  addPerson,
  describePiece,
  disablePerson,
  recordFinding,
  reviseFinding,
  reviseNet,
  signNet,
} from './commands/index.js';
import { crack as crackOf, openTestServers, type TestServers } from './test-servers.js';
import { without } from './without.js';

let servers: TestServers;
let pool: PgPool;
let here: Archive;
let other: Archive;
let panelId: string;
let siteId: string;
let keeper: TestServers['keeper'];

beforeAll(async () => {
  servers = await openTestServers();
  ({ pool, here, other, panelId, siteId, keeper } = servers);
}, 60_000);
afterAll(() => servers.close());

function crack() {
  return { panelId, ...crackOf('seen') };
}

/** One pane of 500 × 600 mm. */
function pane() {
  const corners: [number, number][] = [
    [0, 0],
    [500, 0],
    [500, 600],
    [0, 600],
  ];
  return {
    nodes: corners.map((xyMm) => ({ xyMm })),
    leads: corners.map((from, i) => ({
      from: i,
      to: (i + 1) % 4,
      kind: 'outer',
      lineMm: [from, corners[(i + 1) % 4]!],
      faceWidthMm: 6,
    })),
  };
}

/** Sessions of this database that wait for another's transaction. */
async function waitingForLocks(): Promise<number> {
  const { rows } = await pool.query<{ n: number }>(
    `SELECT count(*)::int AS n FROM pg_stat_activity
     WHERE datname = current_database() AND wait_event_type = 'Lock'`,
  );
  return rows[0]!.n;
}

describe('an archive that remembers what it read', () => {
  it('places a finding on the drawing that another server signed meanwhile', async () => {
    for (let i = 0; i < 3; i++) {
      const { answer } = await here.run(recordFinding, crack(), keeper);
      expect(answer).toMatchObject({ netRevision: null, inPanel: null });
    }
    await other.run(
      reviseNet,
      { panelId, sketch: pane(), note: 'drawn' },
      { ...keeper, ifMatch: '0' },
    );
    await other.run(signNet, { panelId, revision: 1 }, keeper);
    const { answer } = await here.run(recordFinding, crack(), keeper);
    expect(answer).toMatchObject({ netRevision: 1, inPanel: '1' });
  });

  it('files a finding under what another server says meanwhile that its piece shows', async () => {
    const keysOf = async (findingId: string) => {
      const { rows } = await pool.query<{ keys: string[] }>(
        "SELECT keys FROM search_row WHERE kind = 'finding' AND row_id = $1",
        [findingId],
      );
      return rows[0]!.keys.filter((key) => key.startsWith('s:'));
    };
    let before = '';
    for (let i = 0; i < 3; i++)
      before = (await here.run(recordFinding, crack(), keeper)).answer.findingId;
    expect(await keysOf(before)).toEqual([]);
    const { rows } = await pool.query<{ piece_id: string; version: string }>(
      "SELECT piece_id, version FROM piece WHERE panel_id = $1 AND mark = '1'",
      [panelId],
    );
    await other.run(
      describePiece,
      { pieceId: rows[0]!.piece_id, shows: 'inscription' },
      { ...keeper, ifMatch: rows[0]!.version },
    );
    const { answer } = await here.run(recordFinding, crack(), keeper);
    expect(await keysOf(answer.findingId)).toEqual(['s:inscription']);
    expect(await keysOf(before)).toEqual(['s:inscription']);
  });

  it('refuses whom another server shut out, and takes whom it let in again', async () => {
    const { answer } = await here.run(
      addPerson,
      { displayName: 'Hand', login: 'hand', roles: [{ siteId, role: 'recorder' }] },
      keeper,
    );
    const { personId } = answer;
    const hand = { actorId: personId };
    for (let i = 0; i < 3; i++) await here.run(recordFinding, crack(), hand);
    await other.run(disablePerson, { personId, disabled: true }, keeper);
    await expect(here.run(recordFinding, crack(), hand)).rejects.toMatchObject({
      code: 'panel-unknown',
    });
    await other.run(disablePerson, { personId, disabled: false }, keeper);
    await here.run(recordFinding, crack(), hand);
  });

  it('takes one of two revisions of the same version, however they meet at the lock', async () => {
    const { answer } = await here.run(recordFinding, crack(), keeper);
    const revise = (archive: Archive, note: string) =>
      archive.run(
        reviseFinding,
        { ...without(crack(), 'panelId'), findingId: answer.findingId, note },
        { ...keeper, ifMatch: String(answer.version) },
      );
    const holder = await pool.connect();
    await holder.query('BEGIN');
    await holder.query('SELECT 1 FROM log WHERE log_id = $1 FOR UPDATE', [siteId]);
    const both = Promise.allSettled([revise(here, 'here'), revise(other, 'there')]);
    try {
      while ((await waitingForLocks()) < 2) await sleep(5);
    } finally {
      await holder.query('COMMIT');
      holder.release();
    }
    const ends = (await both).map((end) =>
      end.status === 'fulfilled' ? 'taken' : (end.reason as unknown),
    );
    expect(ends).toHaveLength(2);
    expect(ends).toContain('taken');
    expect(ends).toContainEqual(expect.objectContaining({ code: 'stale-version' }));
  });

  it('answers a key that another server answered before, and refuses it for another request', async () => {
    for (let i = 0; i < 2; i++) await here.run(recordFinding, crack(), keeper);
    const keyed = { ...keeper, idempotencyKey: 'from-the-scaffold-1' };
    const first = await other.run(recordFinding, crack(), keyed);
    const again = await here.run(recordFinding, crack(), keyed);
    expect(again).toMatchObject({ replayed: true, answer: first.answer, entry: first.entry });
    await expect(
      here.run(recordFinding, { ...crack(), note: 'another' }, keyed),
    ).rejects.toMatchObject({ code: 'idempotency-key-reused' });
  });
});
