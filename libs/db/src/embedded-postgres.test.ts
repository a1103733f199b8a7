import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import {
  chmodSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import pg from 'pg';
import { type ArchiveDatabase, startArchiveDatabase } from './archive-database.js';
import { startEmbeddedPostgres } from './embedded-postgres.js';
import { openHome } from './home.js';
import { HomeFault } from './home-fault.js';
import { postgresAccount } from './postgres-account.js';
import { placeForPostgres } from './postgres-place.js';
import { findPostgresProgram } from './postgres-program.js';
import { identityOf } from './process-identity.js';

const MINUTE_MS = 60_000;
const isRoot = process.getuid?.() === 0;

let folder: string;
const places: string[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'mullion-pg-'));
  chmodSync(folder, 0o755);
});
afterEach(() => {
  for (const path of [folder, ...places.splice(0)]) rmSync(path, { recursive: true, force: true });
});

describe('the database of a home', () => {
  it(
    'is made, listens on no port, stops, and holds its rows at the next start',
    async () => {
      const home = openHome(join(folder, 'home'));
      const first = await startArchiveDatabase(home);
      expect(first.applied).toContain('0001_foundation');
      const settings = await asked(
        first.ownerUrl,
        `select current_setting('listen_addresses') as listen`,
      );
      expect(settings).toEqual([{ listen: '' }]);
      await asked(
        first.ownerUrl,
        `create table kept (word text); insert into kept values ('lead')`,
      );
      await first.stop();
      expect(serverPid(home.path)).toBeUndefined();

      const second = await startArchiveDatabase(home);
      expect(second.applied).toEqual([]);
      expect(await asked(second.ownerUrl, 'select word from kept')).toEqual([{ word: 'lead' }]);
      await second.stop();
      home.release();
    },
    MINUTE_MS,
  );

  it(
    'keeps secrets in private files and refuses a wrong password',
    async () => {
      await withDatabase(async (database, homePath) => {
        for (const name of [
          'postgres-password',
          'postgres-owner-password',
          'postgres-application-password',
        ]) {
          const file = join(homePath, name);
          expect(statSync(file).mode & 0o777).toBe(0o600);
          expect(readFileSync(file, 'utf8').length).toBeGreaterThanOrEqual(24);
        }
        const wrong = database.applicationUrl.replace(/:[^:@]+@/, ':guess@');
        await expect(asked(wrong, 'select 1')).rejects.toThrow(/password authentication failed/);
      });
    },
    MINUTE_MS,
  );

  it(
    'does not let the application change what the ledger holds',
    async () => {
      await withDatabase(async ({ applicationUrl, ownerUrl }) => {
        for (const table of ['entry', 'log_tile', 'checkpoint']) {
          for (const sql of [`delete from ${table}`, `truncate ${table}`, `drop table ${table}`]) {
            await expect(asked(applicationUrl, sql)).rejects.toThrow(
              /permission denied|must be owner/,
            );
          }
          // the owner meets the trigger
          await expect(asked(ownerUrl, `delete from ${table}`)).rejects.toThrow(/append-only/);
        }
      });
    },
    MINUTE_MS,
  );

  it(
    'written by another PostgreSQL is refused with a sentence and left as it is',
    async () => {
      const home = openHome(join(folder, 'home'));
      await (await startArchiveDatabase(home)).stop();
      const versionFile = join(placeOf(home.path), 'data', 'PG_VERSION');
      writeFileSync(versionFile, '17\n');
      const refusal = await startArchiveDatabase(home).catch((error: unknown) => error);
      expect(refusal).toBeInstanceOf(HomeFault);
      expect((refusal as HomeFault).fault).toBe('postgres-version');
      expect((refusal as HomeFault).message).toContain('PostgreSQL 17');
      expect(readFileSync(versionFile, 'utf8')).toBe('17\n');
      home.release();
    },
    MINUTE_MS,
  );

  it(
    'of two homes run side by side',
    async () => {
      const homes = ['one', 'two'].map((name) => openHome(join(folder, name)));
      const [one, two] = await Promise.all(homes.map((home) => startArchiveDatabase(home)));
      await asked(one!.ownerUrl, 'create table only_here (n int)');
      await expect(asked(two!.ownerUrl, 'select * from only_here')).rejects.toThrow(
        /does not exist/,
      );
      await Promise.all([one!.stop(), two!.stop()]);
      for (const home of homes) home.release();
    },
    MINUTE_MS,
  );
});

describe('the server process', () => {
  it(
    'ends soon after the process that started it was killed',
    async () => {
      const parent = await parentWithServer();
      const pid = serverPid(folder)!;
      expect(isAlive(pid)).toBe(true);
      parent.kill('SIGKILL');
      await untilGone(pid);
    },
    MINUTE_MS,
  );

  it(
    'left over without a watchdog is stopped by the next start, and its rows are there',
    async () => {
      const parent = await parentWithServer({ withoutWatchdog: true });
      const pid = serverPid(folder)!;
      parent.kill('SIGKILL');
      await once(parent, 'exit');
      await sleep(1500);
      expect(isAlive(pid)).toBe(true);

      const server = await started();
      expect(isAlive(pid)).toBe(false);
      expect(await asked(server.url('postgres'), 'select word from said')).toEqual([
        { word: 'kept' },
      ]);
      await server.stop();
    },
    MINUTE_MS,
  );

  it(
    'starts once the last process of a killed one is gone, and not beside it',
    async () => {
      const killed = await started();
      const client = new pg.Client({ connectionString: killed.url('postgres') });
      client.on('error', () => undefined);
      await client.connect();
      const { rows } = await client.query<{ pid: number }>('select pg_backend_pid() as pid');
      // as one that waits for a slow disk: it does not see that its server is gone
      process.kill(rows[0]!.pid, 'SIGSTOP');
      process.kill(serverPid(folder)!, 'SIGKILL');
      await killed.ended;

      let isUp = false;
      const next = started().then((server) => {
        isUp = true;
        return server;
      });
      await sleep(1500);
      expect(isUp).toBe(false);
      process.kill(rows[0]!.pid, 'SIGCONT');
      const server = await next;
      expect(await asked(server.url('postgres'), 'select 1 as one')).toEqual([{ one: 1 }]);
      await server.stop();
    },
    MINUTE_MS,
  );

  it(
    'uses a short socket path however deep the home lies',
    async () => {
      const deep = join(folder, 'a'.repeat(60), 'b'.repeat(60));
      mkdirSync(deep, { recursive: true });
      const server = await started(deep);
      // 108 bytes with the closing NUL on Linux, 104 on macOS: unix(7), unix(4)
      expect(Buffer.byteLength(`${server.socketFolder}/.s.PGSQL.5432`)).toBeLessThan(104);
      expect(statSync(server.socketFolder).mode & 0o777).toBe(0o700);
      await server.stop();
      expect(existsSync(server.socketFolder)).toBe(false);
    },
    MINUTE_MS,
  );

  it('says so when its program cannot be run', async () => {
    const program = { ...findPostgresProgram(), path: join(folder, 'nothing') };
    mkdirSync(join(program.path, 'bin'), { recursive: true });
    for (const name of ['initdb', 'pg_ctl', 'postgres'])
      writeFileSync(join(program.path, 'bin', name), '#!/no/such/program\n');
    const refusal = await startEmbeddedPostgres({
      place: placeForPostgres(bareHome(folder), postgresAccount()),
      passwordFile: join(folder, 'password'),
      account: postgresAccount(),
      program,
    }).catch((error: unknown) => error);
    expect(refusal).toMatchObject({
      fault: 'postgres-failed',
      message: expect.stringContaining('cannot be run') as string,
    });
  });
});

// As an ordinary user the database is never anywhere but in the home.
(isRoot ? describe : describe.skip)('as root', () => {
  it(
    'runs as another account, with its data in a home that others can reach',
    async () => {
      await withDatabase((_, homePath) => {
        expect(placeOf(homePath)).toBe(join(homePath, 'postgres'));
        expect(statSync(homePath).mode & 0o777).toBe(0o711);
        expect(statSync(`/proc/${serverPid(homePath)}`).uid).not.toBe(0);
        return Promise.resolve();
      });
    },
    MINUTE_MS,
  );

  it(
    'runs from a private 0700 folder: program and data are put where that account can reach them',
    async () => {
      chmodSync(folder, 0o700);
      const program = join(folder, 'program');
      const home = openHome(join(folder, 'home'));
      const account = postgresAccount()!;
      const systemState = mkdtempSync(join(tmpdir(), 'mullion-state-'));
      places.push(systemState);
      chmodSync(systemState, 0o755);
      const place = placeForPostgres(home, account, systemState);
      expect(home.postgresPlace).toBe(place);
      expect(readFileSync(join(place, 'of-home'), 'utf8').trim()).toBe(home.path);
      expect(statSync(place)).toMatchObject({ uid: account.uid, gid: account.gid });
      cpSync(findPostgresProgram().path, program, { recursive: true, verbatimSymlinks: true });
      const server = await startEmbeddedPostgres({
        place,
        passwordFile: join(home.path, 'password'),
        account,
        program: { ...findPostgresProgram(), path: program },
      });
      expect(await asked(server.url('postgres'), 'select 1 as one')).toEqual([{ one: 1 }]);
      await server.stop();
      home.release();
      expect(statSync(home.path).mode & 0o777).toBe(0o700);
    },
    MINUTE_MS,
  );

  it('names the accounts it looked for when the machine has none of them', () => {
    expect(() => postgresAccount(() => 'root:x:0:0::/root:/bin/sh\n', 0)).toThrow(
      /postgres.*nobody/,
    );
  });
});

async function withDatabase(
  work: (database: ArchiveDatabase, homePath: string) => Promise<void>,
): Promise<void> {
  const home = openHome(join(folder, 'home'));
  const database = await startArchiveDatabase(home);
  try {
    await work(database, home.path);
  } finally {
    await database.stop();
    home.release();
  }
}

async function asked(url: string, sql: string): Promise<unknown[]> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    return (await client.query<Record<string, unknown>>(sql)).rows;
  } finally {
    await client.end();
  }
}

/** A server straight in `path`, without a home. */
function started(path = folder): ReturnType<typeof startEmbeddedPostgres> {
  const account = postgresAccount();
  return startEmbeddedPostgres({
    place: placeForPostgres(bareHome(path), account),
    passwordFile: join(path, 'password'),
    account,
  });
}

function bareHome(path: string): Parameters<typeof placeForPostgres>[0] {
  return { path, postgresPlace: undefined, recordPostgresPlace: (place) => places.push(place) };
}

/** A process of its own that starts the server in `folder`, writes one row and waits. */
async function parentWithServer({ withoutWatchdog = false } = {}): Promise<ChildProcess> {
  const root = join(import.meta.dirname, '../../..');
  const script = `
    import '${root}/tools/source-hooks.mjs';
    const { readFileSync } = await import('node:fs');
    const { startEmbeddedPostgres } = await import('${root}/libs/db/src/embedded-postgres.ts');
    const { postgresAccount } = await import('${root}/libs/db/src/postgres-account.ts');
    const { placeForPostgres } = await import('${root}/libs/db/src/postgres-place.ts');
    const { default: pg } = await import('${root}/node_modules/pg/esm/index.mjs');
    const path = ${JSON.stringify(folder)};
    const account = postgresAccount();
    const server = await startEmbeddedPostgres({
      place: placeForPostgres({ path, recordPostgresPlace() {} }, account), passwordFile: path + '/password', account });
    const client = new pg.Client({ connectionString: server.url('postgres') });
    await client.connect();
    await client.query("create table said (word text); insert into said values ('kept')");
    if (${String(withoutWatchdog)}) {
      for (const pid of readFileSync(\`/proc/self/task/\${process.pid}/children\`, 'utf8').trim().split(' ')) {
        if (readFileSync(\`/proc/\${pid}/comm\`, 'utf8').trim() === 'sh') process.kill(Number(pid), 'SIGKILL');
      }
    }
    console.log('started');
    setInterval(() => {}, 1000);`;
  const parent = spawn(process.execPath, ['--input-type=module', '-e', script], {
    stdio: ['ignore', 'pipe', 'inherit'],
    env: { ...process.env, NODE_OPTIONS: '' },
  });
  const [said] = (await once(parent.stdout, 'data')) as [Buffer];
  expect(said.toString()).toBe('started\n');
  return parent;
}

function placeOf(homePath: string): string {
  const homeFile = join(homePath, 'home.json');
  if (!existsSync(homeFile)) return join(homePath, 'postgres');
  const { postgresPlace } = JSON.parse(readFileSync(homeFile, 'utf8')) as {
    postgresPlace?: string;
  };
  return postgresPlace ?? join(homePath, 'postgres');
}

function serverPid(homePath: string): number | undefined {
  const file = join(placeOf(homePath), 'data', 'postmaster.pid');
  return existsSync(file) ? Number(readFileSync(file, 'utf8').split('\n')[0]) : undefined;
}

/** A process that ended but was not collected by its parent counts as gone. */
function isAlive(pid: number): boolean {
  return identityOf(pid) !== undefined;
}

async function untilGone(pid: number): Promise<void> {
  const deadline = Date.now() + 20_000;
  while (isAlive(pid)) {
    if (Date.now() > deadline) throw new Error(`process ${pid} is still there after 20 s`);
    await sleep(50);
  }
}
