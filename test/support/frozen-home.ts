/**
 * A home as one version of the program left it, kept as files (`fixtures/homes/<version>-<newest
 * migration>`):
 *
 * - `backup.tar.zst`: what its `mullion admin backup` wrote
 * - `home.tar.zst`: the folder itself, with the data of PostgreSQL
 * - `kept.json`: what opens it, its checkpoints, and the rows that it showed
 */
import { execFileSync } from 'node:child_process';
import { chownSync, lstatSync, mkdirSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { constants, zstdCompressSync, zstdDecompressSync } from 'node:zlib';
import { z } from 'zod';
import { postgresAccount } from '../../libs/db/src/postgres-account.js';

export const FROZEN_HOMES = new URL('../../fixtures/homes/', import.meta.url).pathname;

const keptSchema = z.object({
  program: z.string(),
  /** of PostgreSQL, and the machine its data were written on: 'linux-x64' */
  postgres: z.object({ major: z.number(), platform: z.string() }),
  fingerprint: z.string(),
  /** published, so that nobody takes them for secrets */
  opens: z.object({
    login: z.string(),
    password: z.string(),
    passphrase: z.string(),
    words: z.array(z.string()),
  }),
  /** newest signed note of each log */
  checkpoints: z.array(z.object({ logId: z.string(), note: z.string() })),
  rows: z.record(z.string(), z.array(z.record(z.string(), z.unknown()))),
});
export type KeptOfHome = z.infer<typeof keptSchema>;

export interface FrozenHome {
  readonly name: string;
  readonly kept: KeptOfHome;
  /** Unpacks the backup; `into` is made. */
  unpackBackup(into: string): void;
  /** Unpacks the folder itself; `into` is made. */
  unpackHome(into: string): void;
}

export function frozenHomes(): FrozenHome[] {
  return readdirSync(FROZEN_HOMES)
    .sort()
    .map((name) => {
      const folder = join(FROZEN_HOMES, name);
      return {
        name,
        kept: keptSchema.parse(JSON.parse(readFileSync(join(folder, 'kept.json'), 'utf8'))),
        unpackBackup: (into) => {
          unpackFolder(readFileSync(join(folder, 'backup.tar.zst')), into);
        },
        unpackHome: (into) => {
          unpackFolder(readFileSync(join(folder, 'home.tar.zst')), into);
          const account = postgresAccount();
          if (account !== undefined) giveTo(account, join(into, 'postgres'));
        },
      };
    });
}

/** The four databases of a cluster repeat one another over megabytes: the window must hold them all. */
const WINDOW_LOG = 27;

/** @param path of a backup, or of a home whose database lies in it and is stopped */
export function packFolder(path: string): Buffer {
  const tar = execFileSync(
    'tar',
    [
      ...['--owner=0', '--group=0', '--numeric-owner'],
      // what a start makes anew, and what would tell of the machine
      ...['--exclude=*.log', '--exclude=postmaster.opts', '--exclude=./postgres/program-*'],
      ...['-c', '.'],
    ],
    { cwd: path, maxBuffer: 2 ** 30 },
  );
  return zstdCompressSync(tar, {
    params: {
      [constants.ZSTD_c_compressionLevel]: 19,
      [constants.ZSTD_c_enableLongDistanceMatching]: 1,
      [constants.ZSTD_c_windowLog]: WINDOW_LOG,
    },
  });
}

function unpackFolder(packed: Buffer, into: string): void {
  const tar = zstdDecompressSync(packed, {
    params: { [constants.ZSTD_d_windowLogMax]: WINDOW_LOG },
  });
  mkdirSync(into, { mode: 0o700 });
  execFileSync('tar', ['-x', '-p', '--no-same-owner', '-f', '-'], { cwd: into, input: tar });
}

/** For root the database runs as another account, which must own its files. */
function giveTo(account: { uid: number; gid: number }, path: string): void {
  chownSync(path, account.uid, account.gid);
  if (!lstatSync(path).isDirectory()) return;
  for (const name of readdirSync(path)) giveTo(account, join(path, name));
}
