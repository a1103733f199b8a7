/**
 * PostgreSQL refuses to run as root. For root, the server runs as an account that the machine
 * already has; none is made.
 */
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { HomeFault } from './home-fault.js';

export interface Account {
  readonly name: string;
  readonly uid: number;
  readonly gid: number;
}

/** In this order: made for a database, then any that owns nothing. */
const NAMES = ['postgres', '_postgres', 'nobody', 'daemon', 'node'];

/** Undefined when this process is not root and the server may run as ourselves. */
export function postgresAccount(
  passwd = () => readFileSync('/etc/passwd', 'utf8'),
  uid = process.getuid?.(),
): Account | undefined {
  if (uid !== 0) return undefined;
  const accounts = passwdAccounts(passwd());
  for (const name of NAMES) {
    const account = accounts.find((each) => each.name === name && each.uid !== 0);
    if (account !== undefined) return account;
  }
  throw new HomeFault(
    'no-account',
    `Mullion runs as root here, and its database must not: it looked for one of the accounts ${NAMES.join(', ')} and found none. ` +
      'Start Mullion as an ordinary user.',
  );
}

/** passwd(5): name:password:uid:gid:… */
function passwdAccounts(text: string): Account[] {
  const accounts: Account[] = [];
  for (const line of text.split('\n')) {
    const [name, , uid, gid] = line.split(':');
    if (name === undefined || !/^\d+$/.test(uid ?? '') || !/^\d+$/.test(gid ?? '')) continue;
    accounts.push({ name, uid: Number(uid), gid: Number(gid) });
  }
  return accounts;
}

/** Whether the account can open a folder, all the way down to it. Asked of the system, so that access lists count. */
export function canEnter(account: Account, folder: string): boolean {
  const { status } = spawnSync(
    '/bin/sh',
    ['-c', 'cd / && test -x "$1" && test -d "$1"', 'sh', folder],
    {
      uid: account.uid,
      gid: account.gid,
      cwd: '/',
    },
  );
  return status === 0;
}
