/**
 * The drill of the README, step by step: the commands are read from there and run as processes on the
 * built program, so that what is written and what works cannot part.
 */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { chmodSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Person, twoPieces } from '../support/api-archive.js';
import { addSite, Client, imageBytes } from '../support/media-archive.js';
import { type RunningMullion, StartedMullions } from '../support/running-mullion.js';

const LIMIT_MS = 300_000;
const ROOT = new URL('../../', import.meta.url).pathname;
const PASSWORD = 'seven slow herons on a wall';
const PASSPHRASE = 'five quarries under the ivy';
const NEXT_PASSPHRASE = 'eight saddle bars in the rain';

const readme = readFileSync(join(ROOT, 'README.md'), 'utf8');
const section = /\n## Backups, and the day they are needed\n([\s\S]*?)\n## /.exec(readme)![1]!;
const drill = /\nThe drill, [\s\S]*?\n\n([\s\S]*?)\n\n/.exec(section)![1]!;
/** What stands between backquotes in each numbered step. */
const steps = drill
  .split(/^\d+\. /m)
  .slice(1)
  .map((step) => [...step.replace(/\s+/g, ' ').matchAll(/`([^`]+)`/g)].map(([, code]) => code!));
/** The first command of the section's block: the backup itself. */
const backupCommand = /```\n(npx mullion admin backup) \S+/.exec(section)![1]!;

let folder: string;
const at = (name: string): string => join(folder, name);
const started = new StartedMullions();
const start = (home: string) => started.start(home);
const names: Record<string, string> = {};
let words: string[];
let panelId: string;
let drawing: unknown;
/** digest of the photograph, and its bytes */
let picture: { mediaId: string; bytes: Buffer };

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'mullion-drill-'));
  chmodSync(folder, 0o755);
  Object.assign(names, {
    PLACE: at('disk'),
    NEW: at('new'),
    NEW2: at('new2'),
    FILE: at('known.checkpoint'),
  });
  const archive = await start(at('archive'));
  const keeper = await firstKeeperOf(archive);
  const { siteId } = await addSite(keeper);
  await drawAndPhotograph(keeper, siteId);
  const { body: sheet } = await keeper.json<{ sheet: { words: string[] } }>(
    'GET',
    '/v1/archive/recovery-sheet',
  );
  ({ words } = sheet.sheet);
  const { body: state } = await keeper.json<{ archive: { fingerprint: string } }>(
    'GET',
    '/v1/state',
  );
  names['F'] = state.archive.fingerprint;

  const made = await run(`${backupCommand} PLACE --home ${at('archive')}`, PASSPHRASE);
  expect(made).toMatchObject({ status: 0 });
  // written after the backup; its checkpoint is what somebody keeps
  const later = await keeper.json('POST', `/v1/sites/${siteId}/aliases`, {
    mark: 'wI',
    scheme: 'survey 1978',
    text: '4',
    source: 'its plan',
  });
  expect(later.status).toBe(201);
  const known = await keeper.fetch(`/v1/logs/${siteId}/checkpoint`);
  writeFileSync(names['FILE']!, await known.text());
  expect(await archive.stop()).toBe(0);
}, LIMIT_MS);
afterAll(async () => {
  await started.killAll();
  rmSync(folder, { recursive: true, force: true });
}, LIMIT_MS);

interface Ran {
  readonly status: number | null;
  readonly said: string;
}

/** `npx mullion …` as the README writes it, on the built program; `typed` is piped in. */
async function run(command: string, typed: string): Promise<Ran> {
  const [npx, program, ...args] = command.split(' ');
  expect([npx, program]).toEqual(['npx', 'mullion']);
  const child = spawn(
    process.execPath,
    [join(ROOT, 'tools', 'mullion.mjs'), ...args.map((word) => names[word] ?? word)],
    { env: { ...process.env, NODE_OPTIONS: '' }, stdio: ['pipe', 'pipe', 'pipe'] },
  );
  let said = '';
  for (const stream of [child.stdout, child.stderr]) {
    stream.setEncoding('utf8').on('data', (text: string) => (said += text));
  }
  child.stdin.end(`${typed}\n`);
  const [status] = (await once(child, 'close')) as [number | null];
  return { status, said };
}

async function firstKeeperOf({ origin, token }: RunningMullion): Promise<Client> {
  const made = await fetch(`${origin}/v1/first-keeper`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ token, displayName: 'Studio head', login: 'head', password: PASSWORD }),
  });
  return clientOf(origin, made);
}

async function signIn({ origin }: RunningMullion): Promise<Client> {
  const made = await fetch(`${origin}/v1/session`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ login: 'head', password: PASSWORD }),
  });
  return clientOf(origin, made);
}

function clientOf(origin: string, made: Response): Client {
  const cookie = made.headers.get('set-cookie')?.split(';')[0];
  expect({ status: made.status, isSignedIn: cookie !== undefined }).toEqual({
    status: 201,
    isSignedIn: true,
  });
  return new Client(origin, cookie!);
}

async function drawAndPhotograph(keeper: Client, siteId: string): Promise<void> {
  const person = new Person(keeper.url, { Cookie: keeper.cookie });
  const { body: windows } = await person.get(`/v1/sites/${siteId}/windows`).expect(200);
  const [{ windowId }] = (windows as { items: [{ windowId: string }] }).items;
  const { body: window } = await person.get(`/v1/windows/${windowId}`).expect(200);
  const { panels } = window as { panels: { mark: string; panelId: string }[] };
  ({ panelId } = panels.find(({ mark }) => mark === '1a')!);
  await person
    .post(
      `/v1/panels/${panelId}/nets`,
      { sketch: twoPieces(), note: 'drawn on the bench' },
      { 'If-Match': '"0"' },
    )
    .expect(201);
  ({ body: drawing } = await person.get(`/v1/panels/${panelId}/nets/1`).expect(200));

  const bytes = imageBytes('with-place.jpg');
  const sent = await keeper.fetch(
    `/v1/sites/${siteId}/media?fileName=panel.jpg&kind=photograph&subjects=SLM.wI.1a`,
    { method: 'PUT', body: bytes, headers: { 'Content-Type': 'image/jpeg' } },
  );
  expect(sent.status).toBe(201);
  picture = { mediaId: ((await sent.json()) as { mediaId: string }).mediaId, bytes };
}

describe('the drill of the README', () => {
  it('has the steps that are run here', () => {
    expect(steps).toEqual([
      [],
      [],
      ['npx mullion admin restore PLACE --home NEW --fingerprint F'],
      [
        'npx mullion admin restore PLACE --home NEW2 --words',
        'npx mullion admin backup PLACE --home NEW2 --new-passphrase',
      ],
      ['MULLION_HOME=NEW2 npm start'],
      ['--known-checkpoint FILE'],
    ]);
  });

  it(
    'step 3: with the passphrase, every log is verified against the printed fingerprint',
    async () => {
      const restored = await run(steps[2]![0]!, PASSPHRASE);
      expect(restored).toMatchObject({ status: 0 });
      expect(restored.said.match(/verified against the fingerprint/g)).toHaveLength(2);
      expect(restored.said).not.toMatch(/altered|not as before/);
    },
    LIMIT_MS,
  );

  it(
    'step 4: the passphrase is lost; the refusal names the words, and they bring everything',
    async () => {
      const [restore, renew] = steps[3]!;
      const guessed = await run(restore!.replace(' --words', ''), 'five quarries under the oak');
      expect(guessed).toMatchObject({ status: 1 });
      expect(guessed.said).toContain('If it is lost: the recovery sheet opens it, with --words.');
      const mistyped = await run(restore!, [...words.slice(1), words[0]!].join(' '));
      expect(mistyped).toMatchObject({ status: 1 });
      const restored = await run(restore!, words.join(' '));
      expect(restored).toMatchObject({ status: 0 });
      expect(restored.said).not.toMatch(/altered|not as before/);

      expect(await run(renew!, NEXT_PASSPHRASE)).toMatchObject({ status: 0 });
      const forgotten = await run(steps[2]![0]!.replace('NEW', at('third')), PASSPHRASE);
      expect(forgotten).toMatchObject({ status: 1 });
      expect(forgotten.said).toContain('This passphrase does not open this backup.');
      const opened = await run(steps[2]![0]!.replace('NEW', at('third')), NEXT_PASSPHRASE);
      expect(opened).toMatchObject({ status: 0 });
    },
    LIMIT_MS,
  );

  it(
    'step 5: the drawing and the photograph are there, and the archive knows of the drill',
    async () => {
      const [, home] = /^MULLION_HOME=(\S+) npm start$/.exec(steps[4]![0]!)!;
      const archive = await start(names[home!]!);
      const keeper = await signIn(archive);
      const net = await keeper.json('GET', `/v1/panels/${panelId}/nets/1`);
      expect(net.body).toEqual(drawing);
      const original = await keeper.fetch(`/v1/media/${picture.mediaId}/original`);
      expect(Buffer.from(await original.arrayBuffer()).equals(picture.bytes)).toBe(true);
      const { body } = await keeper.json('GET', '/v1/backups/state');
      expect(body['drill']).toMatchObject({ state: 'good', openedWith: 'words' });
      expect(await archive.stop()).toBe(0);
    },
    LIMIT_MS,
  );

  it(
    'step 6: a checkpoint that is newer than the backup opens a new epoch, and says what is lost',
    async () => {
      const command = `${steps[2]![0]!.replace('NEW', at('fourth'))} ${steps[5]![0]!}`;
      const restored = await run(command, NEXT_PASSPHRASE);
      expect(restored).toMatchObject({ status: 0 });
      expect(restored.said).toMatch(/A new epoch is open: log \S+\.2\./);
    },
    LIMIT_MS,
  );
});
