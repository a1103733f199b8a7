/** What was acknowledged is there after the kill; what was not is there whole or not at all. */
import { createHash, randomBytes } from 'node:crypto';
import { chmodSync, mkdtempSync, rmSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import sharp from 'sharp';
import { verifyDossier } from '#libs/dossier';
import { Client } from '../support/media-archive.js';
import { type RunningMullion, runMullion } from '../support/running-mullion.js';
import { askUpload, beginUpload, openPart, sendPart } from '../support/tus-client.js';

const LIMIT_MS = 180_000;
const KEEPER = { displayName: 'Studio head', login: 'head', password: 'wax on lining paper' };

interface Written {
  aliasId: string;
  entry: { logId: string; seq: number };
}

let folder: string;
let mullion: RunningMullion;
let keeper: Client;
let siteId: string;

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'mullion-faults-'));
  chmodSync(folder, 0o755);
  mullion = await runMullion(join(folder, 'home'));
  await signIn('/v1/first-keeper', { ...KEEPER, token: mullion.token });
  const site = await keeper.json<{ siteId: string }>('POST', '/v1/sites', {
    code: 'SLM',
    name: 'Sallowmere Chapel',
    scheme: 'church',
  });
  expect(site.status).toBe(201);
  siteId = site.body.siteId;
  const opening = { kind: 'rectangular', widthMm: 600, heightMm: 500 };
  const light = { letter: 'a', xMm: 0, yMm: 0, opening, rowHeightsMm: [500] };
  const window = await keeper.json('POST', `/v1/sites/${siteId}/windows`, {
    mark: 'wI',
    title: 'Trial window',
    drawing: { opening, lights: [light], tracery: [], bars: [] },
  });
  expect(window.status).toBe(201);
}, LIMIT_MS);

afterEach(async () => {
  mullion.launcher.kill('SIGKILL');
  await mullion.untilGone();
  rmSync(folder, { recursive: true, force: true });
}, LIMIT_MS);

/** Waits until everything has ended after a kill, and starts again on the same home. */
async function restart(): Promise<void> {
  await mullion.untilGone();
  mullion = await runMullion(join(folder, 'home'));
  const { login, password } = KEEPER;
  await signIn('/v1/session', { login, password });
}

async function signIn(path: string, body: unknown): Promise<void> {
  const answer = await fetch(`${mullion.origin}${path}`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify(body),
  });
  expect(answer.status).toBe(201);
  keeper = new Client(mullion.origin, answer.headers.getSetCookie()[0]!.split(';')[0]!);
}

it(
  'an upload goes on from the last acknowledged byte after the server was killed',
  async () => {
    const raw = { width: 1200, height: 900, channels: 3 as const };
    const picture = await sharp(randomBytes(raw.width * raw.height * 3), { raw })
      .png()
      .toBuffer();
    const acknowledged = 1_000_000;
    const said = { siteId, fileName: 'noise.png', kind: 'photograph' };
    const begun = await beginUpload(keeper, picture.length, said);
    expect(begun.status).toBe(201);
    const place = new URL(begun.headers.get('location')!, mullion.origin).pathname;
    expect((await patch(place, 0, picture.subarray(0, acknowledged))).status).toBe(204);

    // the next part is on its way when the server is killed: half of it sent, nothing answered
    await halfSent(place, acknowledged, picture.subarray(acknowledged, 2_000_000));
    process.kill(mullion.pidOf('server'), 'SIGKILL');
    await restart();

    const head = await askUpload(keeper, place);
    expect(head.status).toBe(200);
    const offset = Number(head.headers.get('upload-offset'));
    expect(offset).toBeGreaterThanOrEqual(acknowledged);
    const last = await patch(place, offset, picture.subarray(offset));
    expect(last.status).toBe(204);

    const original = await keeper.fetch(
      `/v1/media/${last.headers.get('mullion-media-id')!}/original`,
    );
    const digest = createHash('sha256').update(new Uint8Array(await original.arrayBuffer()));
    expect(digest.digest('hex')).toBe(createHash('sha256').update(picture).digest('hex'));
    await expectDossierVerifies();
  },
  LIMIT_MS,
);

it.each(['server', 'database'] as const)(
  'commands that were answered are kept when the %s is killed among them; retries never double',
  async (victim) => {
    const wanted = Array.from({ length: 400 }, (_, i) => `n${i + 2}`);
    const answered = new Map<string, Written>();
    const unanswered: string[] = [];
    const killing = (async () => {
      while (answered.size < 25) await sleep(5);
      process.kill(mullion.pidOf(victim), 'SIGKILL');
    })();
    // eight people at once
    const queue = [...wanted];
    const persons = Array.from({ length: 8 }, async () => {
      for (let mark = queue.shift(); mark !== undefined; mark = queue.shift()) {
        const written = await alias(mark).catch(() => undefined);
        if (written?.status === 201) answered.set(mark, written.body);
        else unanswered.push(mark);
      }
    });
    await Promise.all([killing, ...persons]);
    expect(unanswered.length).toBeGreaterThan(0); // else the kill came too late to prove anything
    await restart();

    for (const { aliasId, entry } of answered.values()) {
      const kept = await keeper.json<{ bytes: string }>(
        'GET',
        `/v1/logs/${entry.logId}/entries/${entry.seq}`,
      );
      expect(kept.status).toBe(200);
      expect(Buffer.from(kept.body.bytes, 'base64').toString()).toContain(aliasId);
    }
    // what was answered is answered again as it was; what was not is done now, once
    const retried = [...answered.keys()].slice(0, 5).concat(unanswered.slice(0, 20));
    const seqs = new Set<number>();
    for (const mark of retried) {
      const again = await alias(mark);
      expect(again.status).toBe(201);
      const before = answered.get(mark);
      if (before !== undefined) expect(again.body.entry).toEqual(before.entry);
      seqs.add(again.body.entry.seq);
    }
    expect(seqs.size).toBe(retried.length);
    await expectDossierVerifies();
  },
  LIMIT_MS,
);

function alias(mark: string) {
  return keeper.json<Written>(
    'POST',
    `/v1/sites/${siteId}/aliases`,
    { mark: 'SLM.wI', scheme: 'count of the survey', text: mark, source: 'test' },
    { 'Idempotency-Key': `alias-${mark}` },
  );
}

const patch = (place: string, offset: number, body: Uint8Array) =>
  sendPart(keeper, place, offset, body);

/** Announces a whole part, sends half of it and leaves the request open. */
async function halfSent(place: string, offset: number, part: Uint8Array): Promise<void> {
  const sent = part.subarray(0, part.length / 2);
  await openPart(keeper, place, offset, { sent, announcedBytes: part.length });
  await sleep(200); // the server has begun to take it in
}

async function expectDossierVerifies(): Promise<void> {
  const asked = await keeper.json<{ dossierId: string; jobId: string }>(
    'POST',
    `/v1/sites/${siteId}/dossiers`,
    { subject: 'SLM', kind: 'keepers' },
  );
  expect(asked.status).toBe(202);
  let file: Response;
  do {
    await sleep(250);
    const job = await keeper.json<{ state: string; problem: unknown }>(
      'GET',
      `/v1/jobs/${asked.body.jobId}`,
    );
    if (job.body.state === 'failed') throw new Error(JSON.stringify(job.body.problem));
    file = await keeper.fetch(`/v1/dossiers/${asked.body.dossierId}/file`);
  } while (file.status !== 200);
  const state = await keeper.json<{ archive: { fingerprint: string } }>('GET', '/v1/state');
  const path = join(folder, 'dossier.zip');
  await writeFile(path, new Uint8Array(await file.arrayBuffer()));
  const report = await verifyDossier(path, { fingerprint: state.body.archive.fingerprint });
  expect(report.findings).toEqual([]);
  expect(report.verdict).toBe('verified-against-fingerprint');
}
