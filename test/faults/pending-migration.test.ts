/** A home of an earlier version at the next start: its database is copied before the tables change. */
import {
  chmodSync,
  cpSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createPool, openHome, startArchiveDatabase } from '#libs/db';
import { findPostgresProgram } from '../../libs/db/src/postgres-program.js';
import { type FrozenHome, frozenHomes } from '../support/frozen-home.js';
import { mullion } from '../support/run-command.js';
import { type RunningMullion, StartedMullions } from '../support/running-mullion.js';
import { mountSmallDisk, type SmallDisk } from './trials/small-disk.js';

const LIMIT_MS = 240_000;
const isRoot = process.getuid?.() === 0;

const oldest = frozenHomes()[0]!;
const { platform, major } = oldest.kept.postgres;
const isOfHere =
  platform === `${process.platform}-${process.arch}` && major === findPostgresProgram().major;

let folder: string;
let disk: SmallDisk | undefined;
const started = new StartedMullions();
const start = (home: string) => started.start(home);
const at = (name: string): string => join(folder, name);
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'pending-migration-'));
  chmodSync(folder, 0o755);
});
afterEach(async () => {
  await started.killAll();
  disk?.unmount();
  disk = undefined;
  rmSync(folder, { recursive: true, force: true });
}, LIMIT_MS);

/** What the database says without being changed: its migrations, and its entries. */
async function looked(home: string): Promise<{ migrations: string[]; entries: number }> {
  const opened = openHome(home);
  const database = await startArchiveDatabase(opened, { migrations: () => Promise.resolve([]) });
  const pool = createPool(database.ownerUrl, { max: 1 });
  try {
    const { rows } = await pool.query<{ name: string }>(
      'SELECT migration_name AS name FROM _prisma_migrations ORDER BY 1',
    );
    const { rows: counted } = await pool.query<{ n: number }>(
      'SELECT count(*)::int AS n FROM entry',
    );
    return { migrations: rows.map(({ name }) => name), entries: counted[0]!.n };
  } finally {
    await pool.end();
    await database.stop();
    opened.release();
  }
}

async function expectSignIn({ origin }: RunningMullion, { kept }: FrozenHome): Promise<void> {
  const { login, password } = kept.opens;
  const signedIn = await fetch(`${origin}/v1/session`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ login, password }),
  });
  expect(signedIn.status).toBe(201);
}

/** Puts a home on another disk, without its database, which it names. */
function moveHome(from: string, to: string, database: string): void {
  renameSync(join(from, 'postgres'), database);
  cpSync(from, to, { recursive: true });
  chmodSync(to, 0o711);
  const file = join(to, 'home.json');
  const said = JSON.parse(readFileSync(file, 'utf8')) as Record<string, unknown>;
  writeFileSync(file, JSON.stringify({ ...said, postgresPlace: database }));
}

const copiesIn = (home: string): string[] =>
  readdirSync(home).filter((name) => name.startsWith('before-'));

// data of PostgreSQL are of one kind of machine and one major version
(isOfHere ? describe : describe.skip)(`the home ${oldest.name}`, () => {
  it(
    'is copied first; the copy is named, and brings the database back as it was',
    async () => {
      oldest.unpackHome(at('home'));
      const before = await looked(at('home'));
      const first = await start(at('home'));
      await expectSignIn(first, oldest);
      const copy = /The copy is (\S+); mullion admin restore takes it\./.exec(first.output())?.[1];
      expect(copiesIn(at('home')).map((name) => at(`home/${name}`))).toEqual([copy]);
      expect(await first.stop()).toBe(0);
      const after = await looked(at('home'));
      const added = after.migrations.filter((name) => !before.migrations.includes(name));
      expect(added.length).toBeGreaterThan(0);
      expect(copy).toBe(at(`home/before-${added[0]!}`));
      expect(after.entries).toBe(before.entries);

      // no passphrase: it lies beside the database and holds what lies there anyway
      const restored = await mullion([
        ...['admin', 'restore', copy!, '--home', at('back')],
        ...['--fingerprint', oldest.kept.fingerprint],
      ]);
      expect(restored.err).not.toMatch(/Error/);
      expect(restored).toMatchObject({ status: 0 });
      expect(restored.out).toMatch(/verified against the fingerprint/);
      const back = await start(at('back'));
      await expectSignIn(back, oldest);
      expect(await back.stop()).toBe(0);
      expect((await looked(at('back'))).entries).toBe(before.entries);

      // the tables are current: nothing is copied again
      const again = await start(at('home'));
      expect(again.output()).not.toMatch(/copied first/);
      expect(await again.stop()).toBe(0);
      expect(copiesIn(at('home'))).toHaveLength(1);
    },
    LIMIT_MS,
  );

  // only root may mount a disk that is small enough to be filled
  (isRoot ? it : it.skip)(
    'is left as it was when there is no room for the copy, and says so',
    async () => {
      // the home on a disk of its own; its database beside it, so that it can run at all
      disk = mountSmallDisk(24);
      const home = join(disk.path, 'home');
      oldest.unpackHome(at('unpacked'));
      moveHome(at('unpacked'), home, at('database'));
      const before = await looked(home);
      writeFileSync(join(disk.path, 'spare'), Buffer.alloc(48 * 1024));
      disk.fill();
      // room for the lock of the home, not for a copy of some hundred kilobytes
      rmSync(join(disk.path, 'spare'));

      const refusal = await start(home).catch((error: unknown) => error as Error);
      expect(refusal).toBeInstanceOf(Error);
      const { message } = refusal as Error;
      expect(message).toMatch(
        /The tables were not changed, because the database could not be copied to \S+\/before-\S+ before: there is no room left on that disk\. Make room and start again\./,
      );
      expect(message).not.toMatch(/^\s+at /m);
      disk.free();
      expect(copiesIn(home)).toEqual([]);
      expect(await looked(home)).toEqual(before);

      const later = await start(home);
      expect(later.output()).toMatch(/The copy is /);
      await expectSignIn(later, oldest);
      expect(await later.stop()).toBe(0);
      expect((await looked(home)).migrations.length).toBeGreaterThan(before.migrations.length);
      expect(existsSync(join(home, copiesIn(home)[0]!))).toBe(true);
    },
    LIMIT_MS,
  );
});
