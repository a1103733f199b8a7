/** A home whose database an older PostgreSQL wrote, moved to ours by `mullion admin move-up`. */
import { chmodSync, existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { isDeepStrictEqual } from 'node:util';
import { postgresPlaceOf, postgresVersions } from '#libs/db';
import { frozenHomes, type KeptOfHome } from '../support/frozen-home.js';
import { type HomeArchive, serveHome } from '../support/home-archive.js';
import { fetchPostgres, restoreInto } from '../support/postgres-of.js';
import { projectionDump } from '../support/projection-dump.js';
import { mullion } from '../support/run-command.js';
import { asJson, comparable } from '../support/shown-then.js';
import { check } from './check.js';

const OLD_MAJOR = 17;

export async function checkMoveUp(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'move-up-'));
  // for root the database runs as another account, which must come through
  chmodSync(folder, 0o755);
  const home = join(folder, 'home');
  const { kept, ...frozen } = frozenHomes()[0]!;
  try {
    frozen.unpackBackup(join(folder, 'backup'));
    mkdirSync(join(folder, 'npm'));
    const path = fetchPostgres(OLD_MAJOR, join(folder, 'npm'));
    const old = { path, major: OLD_MAJOR };
    await restoreInto(home, join(folder, 'backup'), kept.opens.passphrase, old);

    const refused = await mullion(['doctor', '--home', home]);
    check(
      `a home of PostgreSQL ${OLD_MAJOR} is refused, and the sentence names move-up`,
      refused.status === 1 &&
        /written by PostgreSQL 17; .*Nothing was changed\. Run mullion admin move-up/.test(
          refused.err,
        ),
      refused.err,
    );
    const moved = await mullion(['admin', 'move-up', '--home', home]);
    check(
      'mullion admin move-up brings the older program and moves it',
      moved.status === 0,
      moved.err,
    );

    const place = postgresPlaceOf(home);
    const { data, program } = postgresVersions(home, place);
    check('the data are of our PostgreSQL', data === program && program !== OLD_MAJOR);
    check('the old data stay beside', existsSync(join(place, `data.${OLD_MAJOR}`, 'PG_VERSION')));
    const archive = await serveHome(home);
    try {
      await checkMoved(archive, home, kept);
    } finally {
      await archive.close();
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function checkMoved(
  { pool }: HomeArchive,
  home: string,
  { rows, fingerprint }: KeptOfHome,
): Promise<void> {
  const shown = comparable(asJson(await projectionDump(pool)), rows);
  check('every row that people read is what it was', isDeepStrictEqual(shown, rows));
  const args = ['admin', 'check', '--home', home, '--fingerprint', fingerprint];
  const checked = await mullion(args);
  check('every entry, object and checkpoint is verified', checked.status === 0, checked.out);
}
