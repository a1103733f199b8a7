/** A backup made while the archive is at work, and the archive that comes out of it. */
import { chmodSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { openHome } from '#libs/db';
import { Person } from '../support/api-archive.js';
import { everyRow } from '../support/every-row.js';
import { type HomeArchive, serveHome } from '../support/home-archive.js';
import { addSite, type Client, firstKeeper } from '../support/media-archive.js';
import { mullion } from '../support/run-command.js';

const PASSPHRASE = 'five quarries under the ivy';
const WITH_PASSPHRASE = { env: { MULLION_BACKUP_PASSPHRASE: PASSPHRASE } };

let folder: string;
let archive: HomeArchive;
let keeper: Client;
let siteId: string;
const at = (name: string): string => join(folder, name);

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'mullion-backup-'));
  archive = await serveHome(at('home'));
  keeper = await firstKeeper(archive.url);
  ({ siteId } = await addSite(keeper));
  await addPicture(keeper, siteId, 40);
}, 120_000);
afterAll(async () => {
  await archive.close();
  rmSync(folder, { recursive: true, force: true });
});

async function addPicture(client: Client, site: string, red: number): Promise<string> {
  const bytes = await sharp({
    create: { width: 60, height: 40, channels: 3, background: { r: red, g: 90, b: 140 } },
  })
    .png()
    .toBuffer();
  const sent = await client.fetch(
    `/v1/sites/${site}/media?fileName=red${red}.png&kind=photograph&subjects=SLM.wI.1a`,
    { method: 'PUT', body: bytes, headers: { 'Content-Type': 'image/png' } },
  );
  expect(sent.status).toBe(201);
  return ((await sent.json()) as { digest: string }).digest;
}

const backup = (...more: string[]) =>
  mullion(['admin', 'backup', at('disk'), '--home', at('home'), ...more], WITH_PASSPHRASE);

describe('a backup', () => {
  it('is made beside the server, and comes back with every row, object, checkpoint and key', async () => {
    const made = await backup();
    expect(made.err).not.toMatch(/Error/);
    expect(made).toMatchObject({ status: 0 });
    const before = await everyRow(archive.pool);

    const restored = await mullion(
      ['admin', 'restore', at('disk'), '--home', at('second')],
      WITH_PASSPHRASE,
    );
    expect(restored.err).not.toMatch(/Error|not as before/);
    expect(restored).toMatchObject({ status: 0 });

    const second = await serveHome(at('second'));
    try {
      const after = await everyRow(second.pool);
      // what the runs themselves note: the backup after its moment, the restore
      for (const table of ['public.backup_run', 'public.restore_mark']) {
        before.delete(table);
        after.delete(table);
      }
      expect([...after.keys()]).toEqual([...before.keys()]);
      for (const [table, rows] of before)
        expect({ table, rows: after.get(table) }).toEqual({ table, rows });
      expect(before.get('public.entry')!.length).toBeGreaterThan(3);
      expect(objectFiles(at('second/objects'))).toEqual(objectFiles(at('home/objects')));
      expect(readFileSync(at('second/archive-key.pem'))).toEqual(
        readFileSync(at('home/archive-key.pem')),
      );

      const person = new Person(second.url, { Cookie: keeper.cookie });
      const { body: logs } = await person.get('/v1/logs').expect(200);
      for (const { logId } of (logs as { items: { logId: string }[] }).items) {
        const { text } = await person.get(`/v1/logs/${logId}/checkpoint`).expect(200);
        const kept = await keeper.fetch(`/v1/logs/${logId}/checkpoint`);
        expect(text).toBe(await kept.text());
      }
      // and one can work on
      await person
        .post(`/v1/sites/${siteId}/windows`, {
          mark: 'wII',
          title: 'Second window',
          drawing: DRAWING,
        })
        .expect(201);
    } finally {
      await second.close();
    }
  }, 180_000);

  it('copies only what is new', async () => {
    const files = objectFiles(at('disk'));
    const again = await backup();
    expect(again.out).toMatch(/ objects, 0 of them new/);
    await addPicture(keeper, siteId, 60);
    const more = await backup();
    expect(more.out).toMatch(/ objects, [12] of them new/);
    // chunks of rows and the original that were there stay, but for the sealed part and the last chunks
    const kept = objectFiles(at('disk')).filter((file) => files.includes(file));
    expect(kept.length).toBeGreaterThan(1);
  }, 120_000);

  it('names what is damaged, and nothing half restored can be started', async () => {
    expect(await mullion(['admin', 'backup', at('disk'), '--verify'])).toMatchObject({ status: 0 });
    const { rows } = await archive.pool.query<{ digest: string }>(
      'SELECT digest FROM media ORDER BY entry_seq LIMIT 1',
    );
    const hex = rows[0]!.digest.slice('sha256:'.length);
    const file = at(`disk/sha256/${hex.slice(0, 2)}/${hex.slice(2, 4)}/${hex}`);
    const whole = readFileSync(file);
    const damaged = Buffer.from(whole);
    damaged[50]! ^= 4;
    chmodSync(file, 0o600);
    writeFileSync(file, damaged);

    const verified = await mullion(['admin', 'backup', at('disk'), '--verify']);
    expect(verified).toMatchObject({ status: 4 });
    expect(verified.out).toContain(`sha256:${hex} is damaged: an object of generation`);

    const args = ['admin', 'restore', at('disk'), '--home', at('fourth')];
    const refused = await mullion(args, WITH_PASSPHRASE);
    expect(refused).toMatchObject({ status: 4 });
    // 0 announces the key's successor, 1 is the site, 2 its window
    expect(refused.err).toMatch(new RegExp(`damaged: sha256:${hex} \\(.*media.attach, entry 3 of`));
    expect(() => openHome(at('fourth'))).toThrow('is not whole');

    writeFileSync(file, whole);
    expect(await mullion(args, WITH_PASSPHRASE)).toMatchObject({ status: 0 });
    openHome(at('fourth')).release();
  }, 120_000);

  it('tells a manifest that was changed', async () => {
    const [generation] = readdirSync(at('disk/named/generations'));
    const file = at(`disk/named/generations/${generation!}/manifest.json`);
    const whole = readFileSync(file, 'utf8');
    writeFileSync(file, whole.replace('"isDemo":false', '"isDemo":true'));
    const verified = await mullion(['admin', 'backup', at('disk'), '--verify']);
    expect(verified).toMatchObject({ status: 4 });
    expect(verified.out).toContain(`The manifest of generation ${generation!} was changed`);
    writeFileSync(file, whole);
  }, 60_000);

  it('is consistent while others write, and an earlier generation comes back without what came later', async () => {
    const during = { isOver: false };
    let written = 0;
    const writing = (async () => {
      while (!during.isOver) {
        await addPicture(keeper, siteId, 100 + (written % 100));
        written += 1;
      }
    })();
    const made = await backup();
    during.isOver = true;
    await writing;
    expect(made).toMatchObject({ status: 0 });
    expect(written).toBeGreaterThan(2);
    const generation = /generation (\S+),/.exec(made.out)![1]!;
    expect(await backup()).toMatchObject({ status: 0 });

    const restored = await mullion(
      ['admin', 'restore', at('disk'), '--home', at('earlier'), '--generation', generation],
      WITH_PASSPHRASE,
    );
    expect(restored.err).not.toMatch(/Error/);
    expect(restored).toMatchObject({ status: 0 });
    const earlier = await serveHome(at('earlier'));
    try {
      const { rows } = await earlier.pool.query<{ later: number }>(
        `SELECT count(*)::int AS later FROM idempotency i WHERE NOT EXISTS
           (SELECT 1 FROM entry e WHERE e.log_id = i.answer->'entry'->>'logId'
              AND e.seq = (i.answer->'entry'->>'seq')::bigint)`,
      );
      expect(rows).toEqual([{ later: 0 }]);
      // sessions are of the newest generation: one signs in again
      await new Person(earlier.url, { Cookie: keeper.cookie }).get('/v1/sites').expect(401);
      const again = await fetch(`${earlier.url}/v1/session`, {
        method: 'POST',
        headers: { 'Content-Type': 'application/json' },
        body: JSON.stringify({ login: 'head', password: 'a long pass phrase for a test' }),
      });
      expect(again.status).toBe(201);
    } finally {
      await earlier.close();
    }
  }, 180_000);

  it('does not open with another passphrase, nor into a folder that holds something', async () => {
    const wrong = await mullion(['admin', 'restore', at('disk'), '--home', at('third')], {
      env: { MULLION_BACKUP_PASSPHRASE: 'five quarries under the oak' },
    });
    expect(wrong).toMatchObject({ status: 1 });
    expect(wrong.err).toContain('This passphrase does not open this backup');
    const taken = await mullion(
      ['admin', 'restore', at('disk'), '--home', at('home')],
      WITH_PASSPHRASE,
    );
    expect(taken).toMatchObject({ status: 1 });
    expect(taken.err).toContain('is not empty');
  }, 60_000);

  it('is never taken inside the archive itself', async () => {
    const inside = await mullion(
      ['admin', 'backup', at('home/copies'), '--home', at('home')],
      WITH_PASSPHRASE,
    );
    expect(inside).toMatchObject({ status: 1 });
    expect(inside.err).toContain('lies in the archive itself');
  }, 60_000);
});

const DRAWING = {
  opening: { kind: 'rectangular', widthMm: 500, heightMm: 600 },
  lights: [
    {
      letter: 'a',
      xMm: 0,
      yMm: 0,
      opening: { kind: 'rectangular', widthMm: 500, heightMm: 600 },
      rowHeightsMm: [600],
    },
  ],
  tracery: [],
  bars: [],
};

/** Files of a store by their digests, with their bytes' length. */
function objectFiles(root: string): string[] {
  return readdirSync(join(root, 'sha256'), { recursive: true, withFileTypes: true })
    .filter((file) => file.isFile())
    .map((file) => `${file.name} ${readFileSync(join(file.parentPath, file.name)).length}`)
    .sort();
}
