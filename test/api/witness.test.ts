/**
 * Two archives of which one witnesses the other, over HTTP. Statuses and forms: C2SP tlog-witness and
 * tlog-cosignature v1.
 */
import { readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { askWitness, ownHeads, readConfig, Tx } from '#libs/archive';
import {
  formatCosignRequest,
  formatVerifierKey,
  openNote,
  parseCheckpoint,
  parseNote,
  parseVerifierKey,
  publicKeyOf,
  signCheckpoint,
  signEd25519,
  verifierKey,
} from '#libs/ledger';
import { startServer } from '../../apps/server/src/start-server.js';
import { type ApiArchive, answer, startApiArchive } from '../support/api-archive.js';
import { rewriteHistory } from '../support/rewrite-history.js';
import { RewrittenLog } from '../support/rewritten-log.js';

const NAME = 'witness.example/other-studio';

let ours: ApiArchive;
let witness: ApiArchive;
let siteId: string;
let origin: string;
let logKey: string;
let witnessKey: string;

beforeAll(async () => {
  witness = await startApiArchive({ MULLION_WITNESS_NAME: NAME });
  ours = await startApiArchive();
  ({ siteId } = await ours.site('WIT'));
  const logs = await answer<{
    verifierKey: { publicKey: string };
    items: { logId: string; origin: string }[];
  }>(ours.keeper.get('/v1/logs'), 200);
  origin = logs.items.find((log) => log.logId === siteId)!.origin;
  const publicKey = new Uint8Array(Buffer.from(logs.verifierKey.publicKey, 'base64'));
  logKey = formatVerifierKey(verifierKey(origin, publicKey));
  const state = await answer<{ verifierKey: string }>(witness.keeper.get('/v1/witness'), 200);
  witnessKey = state.verifierKey;
}, 120_000);
afterAll(async () => {
  await ours.close();
  await witness.close();
});

const askPorts = () => ({
  tx: new Tx(ours.pool),
  fetch,
  now: () => new Date(),
  everyMs: 600_000,
});
const place = () => ({ url: `${witness.url}/witness`, key: parseVerifierKey(witnessKey)! });
const head = async () => (await ownHeads(new Tx(ours.pool), siteId))[0]!;
const send = (body: string, url = witness.url) =>
  fetch(`${url}/witness/add-checkpoint`, { method: 'POST', body });
const grow = () =>
  ours.keeper
    .post(`/v1/sites/${siteId}/aliases`, {
      mark: 'wI',
      scheme: 'x',
      text: `no. ${Math.random()}`,
      source: 'survey',
    })
    .expect(201);

describe('a witness', () => {
  it('has a key of its own, that only its keeper’s account can read', () => {
    const file = join(witness.config.home, 'witness-key.pem');
    expect(statSync(file).mode & 0o777).toBe(0o600);
    expect(readFileSync(file, 'utf8')).not.toBe(readFileSync(witness.config.keyFile, 'utf8'));
    expect(parseVerifierKey(witnessKey)).toMatchObject({ name: NAME, type: 4 });
  });

  it('is off unless its keeper names it', async () => {
    expect((await send('old 0\n\nx', ours.url)).status).toBe(404);
    expect(await answer(ours.keeper.get('/v1/witness'), 200)).toMatchObject({ verifierKey: null });
  });

  it('does not cosign for a log that its keeper has not registered', async () => {
    const { note } = await head();
    expect((await send(formatCosignRequest({ oldSize: 0, proof: [], note }))).status).toBe(404);
    expect(await askWitness(await head(), place(), askPorts(), { isForced: true })).toMatchObject({
      kind: 'trouble',
    });
  });

  it('registers logs by its keeper only, with keys that are keys', async () => {
    const reader = await witness.person('just-reads', 'reader');
    const body = { origin, verifierKeys: [logKey] };
    await reader.post('/v1/witness/logs', body).expect(403);
    await witness.keeper.post('/v1/witness/logs', { origin, verifierKeys: ['x'] }).expect(422);
    await witness.keeper.post('/v1/witness/logs', body).expect(201);
    expect(await answer(witness.keeper.get('/v1/witness'), 200)).toMatchObject({
      items: [{ origin, verifierKeys: [logKey], released: false, newest: null }],
    });
  });

  it('cosigns, and the archive serves the cosignature with its checkpoint', async () => {
    expect(await askWitness(await head(), place(), askPorts(), { isForced: true })).toMatchObject({
      kind: 'cosigned',
    });
    const { text } = await ours.keeper.get(`/v1/logs/${siteId}/checkpoint`).expect(200);
    const keys = [parseVerifierKey(logKey)!, parseVerifierKey(witnessKey)!];
    const { verified, failed } = openNote(text, keys);
    expect(failed).toEqual([]);
    expect(verified.map(({ key }) => key.name)).toEqual([origin, NAME]);
    expect(Math.abs(verified[1]!.at! * 1000 - Date.now())).toBeLessThan(60_000);
    // asked again there is nothing to do; grown, it is asked with a proof from there
    expect(await askWitness(await head(), place(), askPorts())).toEqual({ kind: 'has-it' });
    await grow();
    expect(await askWitness(await head(), place(), askPorts())).toEqual({ kind: 'not-yet' });
    const grown = await askWitness(await head(), place(), askPorts(), { isForced: true });
    expect(grown).toMatchObject({ kind: 'cosigned' });
    const seen = await ours.keeper.get(`/v1/logs/${siteId}/checkpoint?seen=true`).expect(200);
    expect(openNote(seen.text, keys).verified).toHaveLength(2);
    await ours.keeper.get(`/v1/logs/${siteId}/checkpoint?size=99999`).expect(404);
  });

  it('tells anybody the head that it cosigned last', async () => {
    const told = await fetch(
      `${witness.url}/witness/checkpoint?origin=${encodeURIComponent(origin)}`,
    );
    expect(told.status).toBe(200);
    const { verified } = openNote(await told.text(), [parseVerifierKey(witnessKey)!]);
    expect(verified).toHaveLength(1);
  });

  it('answers as the specification says', async () => {
    const { note, size } = await head();
    const wrongSize = await send(formatCosignRequest({ oldSize: 1, proof: [], note }));
    expect(wrongSize.status).toBe(409);
    expect(wrongSize.headers.get('content-type')).toMatch(/^text\/x\.tlog\.size/);
    expect(await wrongSize.text()).toBe(`${size}\n`);
    expect((await send('nonsense')).status).toBe(400);
    expect((await send(formatCosignRequest({ oldSize: size + 1, proof: [], note }))).status).toBe(
      400,
    );
    const forger = new Uint8Array(32).fill(8);
    const forged = await signCheckpoint(parseCheckpoint(parseNote(note).text), {
      publicKey: publicKeyOf(forger),
      sign: (message) => signEd25519(message, forger),
    });
    expect(
      (await send(formatCosignRequest({ oldSize: size, proof: [], note: forged }))).status,
    ).toBe(403);
    expect((await send('x'.repeat(70_000))).status).toBe(413);
  });
});

describe('two heads that do not grow from one another', () => {
  // The rewriting is done with the archive's own key: what its administrator could do.
  let rewritten: RewrittenLog;
  beforeAll(async () => {
    rewritten = await RewrittenLog.of(origin, ours.config.keyFile);
  });

  it('are never both cosigned, however they race and whichever server they meet', async () => {
    const second = await startServer(
      readConfig({
        DATABASE_URL: witness.config.databaseUrl,
        MULLION_HOME: witness.config.home,
        MULLION_KEY_FILE: witness.config.keyFile,
        MULLION_PORT: '0',
        MULLION_WITNESS_NAME: NAME,
      }),
    );
    try {
      for (let round = 0; round < 12; round++) {
        const name = `${origin}-race-${round}`;
        const pair = await Promise.all([
          RewrittenLog.of(name, ours.config.keyFile, 'one'),
          RewrittenLog.of(name, ours.config.keyFile, 'two'),
        ]);
        await witness.keeper
          .post('/v1/witness/logs', { origin: name, verifierKeys: [pair[0].key] })
          .expect(201);
        for (const one of pair) await one.grow(5);
        const urls = [witness.url, second.url];
        const both = await Promise.all(
          pair.map((one, at) =>
            send(formatCosignRequest({ oldSize: 0, proof: [], note: one.note() }), urls[at]),
          ),
        );
        expect(both.map(({ status }) => status).sort()).toEqual([200, 409]);
        // and the loser cannot get in later, with any proof of its own
        const loser = pair[both.findIndex(({ status }) => status === 409)]!;
        await loser.grow(4);
        const later = formatCosignRequest({
          oldSize: 5,
          proof: await loser.proof(5),
          note: loser.note(),
        });
        expect((await send(later)).status).toBe(422);
      }
    } finally {
      await second.close();
    }
  }, 120_000);

  it('are still told apart by a server that was started again', async () => {
    const again = await startServer(
      readConfig({
        DATABASE_URL: witness.config.databaseUrl,
        MULLION_HOME: witness.config.home,
        MULLION_KEY_FILE: witness.config.keyFile,
        MULLION_PORT: '0',
        MULLION_WITNESS_NAME: NAME,
      }),
    );
    try {
      const { size } = await head();
      await rewritten.grow(size + 2);
      const first = formatCosignRequest({ oldSize: 0, proof: [], note: rewritten.note() });
      expect((await send(first, again.url)).status).toBe(409);
      const proof = await rewritten.proof(size);
      const grown = formatCosignRequest({ oldSize: size, proof, note: rewritten.note() });
      expect((await send(grown, again.url)).status).toBe(422);
    } finally {
      await again.close();
    }
  });

  const alarms = async () =>
    (await answer<{ alarms: object[] }>(ours.keeper.get('/v1/outside'), 200)).alarms;

  it('are an alarm on the start page of a log that was set back, until the witness agrees again', async () => {
    const { siteId: other } = await ours.site('BACK');
    const [shown] = await ownHeads(new Tx(ours.pool), other);
    const longer = await RewrittenLog.of(shown!.origin, ours.config.keyFile);
    await longer.grow(shown!.size + 5);
    const verifierKeys = [longer.key];
    await witness.keeper
      .post('/v1/witness/logs', { origin: shown!.origin, verifierKeys })
      .expect(201);
    const first = formatCosignRequest({ oldSize: 0, proof: [], note: longer.note() });
    expect((await send(first)).status).toBe(200);
    expect(await askWitness(shown!, place(), askPorts(), { isForced: true })).toMatchObject({
      kind: 'alarm',
      alarm: 'longer',
    });
    expect(await alarms()).toMatchObject([{ logId: other, witness: NAME, kind: 'longer' }]);
    await ours.pool.query(
      `INSERT INTO cosignature (origin, size, key_name, key_id, line, stated_at, received_at)
       VALUES ($1, $2, $3, '00000000', '', now(), now() + interval '1 second')`,
      [shown!.origin, shown!.size, NAME],
    );
    expect(await alarms()).toEqual([]);
  });

  it('are an alarm of a log that was rewritten and signed again throughout', async () => {
    await rewriteHistory(ours.ownerUrl, { logId: siteId, seq: 1, keyFile: ours.config.keyFile });
    // known without asking, by the cosignature that is kept; and, grown since, by the witness
    for (const turn of [1, 2]) {
      expect(await askWitness(await head(), place(), askPorts(), { isForced: true })).toMatchObject(
        { kind: 'alarm', alarm: 'other' },
      );
      expect(await alarms()).toMatchObject([{ logId: siteId, witness: NAME, kind: 'other' }]);
      if (turn === 1) await grow();
    }
  });
});

it('what was cosigned for others cannot be changed or forgotten', async () => {
  for (const table of ['witnessed_checkpoint', 'cosignature', 'witness_alarm', 'time_token']) {
    for (const sql of [
      `DELETE FROM ${table}`,
      `UPDATE ${table} SET origin = 'x'`,
      `TRUNCATE ${table}`,
    ])
      await expect(witness.pool.query(sql)).rejects.toMatchObject({ code: '42501' });
  }
  await witness.keeper
    .post('/v1/witness/logs/release', { origin, reason: 'the studio closed' })
    .expect(200);
  const { note } = await head();
  expect((await send(formatCosignRequest({ oldSize: 0, proof: [], note }))).status).toBe(404);
  const { rowCount } = await witness.pool.query(
    'SELECT 1 FROM witnessed_checkpoint WHERE origin = $1',
    [origin],
  );
  expect(rowCount).toBeGreaterThan(1);
});
