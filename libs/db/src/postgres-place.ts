/**
 * Where the embedded database of a home lives. Usually in the home. For root the server runs as
 * another account: the home then lets that account pass through (0711, nothing listed), or, when a
 * folder above it is closed (a private 0700 folder), the database gets a place under /var/lib.
 */
import { randomBytes } from 'node:crypto';
import { chmodSync, chownSync, existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { Home } from './home.js';
import { type Account, canEnter } from './postgres-account.js';

const SYSTEM_STATE = '/var/lib';

/** Folder for data, log and socket; made, owned by the account that runs the server, mode 0700. */
export function placeForPostgres(
  home: Pick<Home, 'path' | 'postgresPlace' | 'recordPostgresPlace'>,
  account: Account | undefined,
  systemState = SYSTEM_STATE,
): string {
  const inHome = join(home.path, 'postgres');
  if (account === undefined) return madeFolder(home.postgresPlace ?? inHome, undefined);
  if (home.postgresPlace !== undefined) return madeFolder(home.postgresPlace, account);
  if (canEnter(account, dirname(home.path))) {
    chmodSync(home.path, 0o711);
    return madeFolder(inHome, account);
  }
  // random: a home thrown away and begun again must not meet the database of the one before
  const elsewhere = join(systemState, `mullion-${randomBytes(6).toString('hex')}`);
  const place = madeFolder(elsewhere, account);
  writeFileSync(join(place, 'of-home'), `${home.path}\n`);
  home.recordPostgresPlace(elsewhere);
  return place;
}

export function madeFolder(place: string, account: Account | undefined): string {
  if (!existsSync(place)) {
    mkdirSync(place, { recursive: true, mode: 0o700 });
    if (account !== undefined) chownSync(place, account.uid, account.gid);
  }
  return place;
}
