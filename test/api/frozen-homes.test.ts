/** Archives that earlier versions left behind, opened by this one: the folder itself, and a backup. */
import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { rebuildProjections } from '#libs/archive';
import { openObjectStore } from '#libs/objects';
import { findPostgresProgram } from '../../libs/db/src/postgres-program.js';
import { type FrozenHome, frozenHomes, type KeptOfHome } from '../support/frozen-home.js';
import { type HomeArchive, serveHome } from '../support/home-archive.js';
import { projectionDump } from '../support/projection-dump.js';
import { mullion } from '../support/run-command.js';
import { asJson, comparable } from '../support/shown-then.js';

let folder: string;
const at = (name: string): string => join(folder, name);
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'frozen-home-'));
  // for root the database runs as another account, which must come through
  chmodSync(folder, 0o755);
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

/** Signed in as then; shows what it showed, and shows it again when the rows are made anew. */
async function expectAsItWas(archive: HomeArchive, { opens, rows }: KeptOfHome): Promise<void> {
  const signedIn = await fetch(`${archive.url}/v1/session`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ login: opens.login, password: opens.password }),
  });
  expect(signedIn.status).toBe(201);
  const shown = asJson(await projectionDump(archive.pool));
  expect(comparable(shown, rows)).toEqual(rows);
  const entries = await rebuildProjections(
    archive.pool,
    await openObjectStore(archive.config.objects),
  );
  expect(entries).toBeGreaterThan(40);
  // byte for byte what that version showed; what a later one adds comes with the rebuild at the latest
  const anew = comparable(asJson(await projectionDump(archive.pool)), rows);
  expect(JSON.stringify(anew)).toBe(JSON.stringify(comparable(rows, rows)));
}

/** Every entry, hash, object and checkpoint, against the fingerprint and checkpoints of then. */
async function expectChecked(home: string, { fingerprint, checkpoints }: KeptOfHome) {
  const known = checkpoints.flatMap(({ logId, note }) => {
    const file = at(`${logId}.checkpoint`);
    writeFileSync(file, note);
    return ['--known', file];
  });
  const args = ['admin', 'check', '--home', home, '--fingerprint', fingerprint, ...known];
  const checked = await mullion(args);
  expect(checked.err).not.toMatch(/Error/);
  expect(checked).toMatchObject({ status: 0 });
  expect(checked.out).toMatch(/^Verified: unaltered, /);
  // a check that went through nothing would be content as well
  const objects = /(\d+) named, \d+ derived, (\d+) hashed/.exec(checked.out)!;
  expect(objects[2]).toBe(objects[1]);
  expect(Number(objects[1])).toBeGreaterThan(9);
}

it('there is a home of the version that is being worked on', () => {
  expect(frozenHomes().length).toBeGreaterThan(0);
});

describe.each(frozenHomes().map((home): [string, FrozenHome] => [home.name, home]))(
  '%s',
  (_name, frozen) => {
    const { kept } = frozen;
    const isOfHere =
      kept.postgres.platform === `${process.platform}-${process.arch}` &&
      kept.postgres.major === findPostgresProgram().major;

    // data of PostgreSQL are of one kind of machine and one major version; the backup is of all
    (isOfHere ? it : it.skip)(
      'the folder: its tables are brought up to date, and nothing else changes',
      async () => {
        frozen.unpackHome(at('home'));
        const archive = await serveHome(at('home'));
        try {
          await expectAsItWas(archive, kept);
          await expectChecked(at('home'), kept);
        } finally {
          await archive.close();
        }
      },
      240_000,
    );

    it('the backup: comes back with the passphrase of then', async () => {
      frozen.unpackBackup(at('backup'));
      const args = ['admin', 'restore', at('backup'), '--home', at('home')];
      const restored = await mullion([...args, '--fingerprint', kept.fingerprint], {
        env: { MULLION_BACKUP_PASSPHRASE: kept.opens.passphrase },
      });
      expect(restored.err).not.toMatch(/Error/);
      expect(restored).toMatchObject({ status: 0 });
      expect(restored.out).toMatch(/verified against the fingerprint/);
      expect(restored.out).not.toMatch(/altered|key not known/);
      const archive = await serveHome(at('home'));
      try {
        await expectAsItWas(archive, kept);
        await expectChecked(at('home'), kept);
      } finally {
        await archive.close();
      }
    }, 240_000);

    it('the backup: comes back with the words of its recovery sheet', async () => {
      frozen.unpackBackup(at('backup'));
      const restored = await mullion(
        ['admin', 'restore', at('backup'), '--home', at('home'), '--words'],
        { input: kept.opens.words.join('\n') },
      );
      expect(restored.err).not.toMatch(/Error/);
      expect(restored).toMatchObject({ status: 0 });
    }, 120_000);
  },
);
