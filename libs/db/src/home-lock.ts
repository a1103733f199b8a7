/**
 * One server a home: a lock file that names the process holding it. A lock whose process is gone
 * (killed, or the machine went down) is taken over.
 */
import { linkSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { HomeFault } from './home-fault.js';
import { identityOf, isRunning, type ProcessIdentity } from './process-identity.js';

export interface HomeLock {
  release(): void;
}

interface LockContent extends ProcessIdentity {
  readonly host: string;
}

/** @throws HomeFault `home-in-use` naming the process that holds it */
export function lockHome(homePath: string): HomeLock {
  const lockPath = join(homePath, 'lock');
  const own = identityOf(process.pid);
  if (own === undefined) throw new Error('this process cannot be read from the process table');
  const content = JSON.stringify({ ...own, host: hostname() } satisfies LockContent);
  const ownPath = join(homePath, `lock.${process.pid}`);
  writeFileSync(ownPath, content, { mode: 0o600 });
  try {
    // link() refuses an existing name and never shows a half-written file
    while (!linked(ownPath, lockPath)) clearStale(homePath, lockPath);
  } finally {
    rmSync(ownPath, { force: true });
  }
  return {
    release() {
      if (contentOf(lockPath) === content) rmSync(lockPath, { force: true });
    },
  };
}

/** Whether a running process holds the home. */
export function isHomeInUse(homePath: string): boolean {
  const holder = parsed(contentOf(join(homePath, 'lock')));
  return holder !== undefined && (holder.host !== hostname() || isRunning(holder));
}

function linked(from: string, to: string): boolean {
  try {
    linkSync(from, to);
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
    throw error;
  }
}

/** Moves a dead process's lock away; a lock that changed meanwhile is put back. */
function clearStale(homePath: string, lockPath: string): void {
  const text = contentOf(lockPath);
  if (text === undefined) return; // released between the two looks
  const holder = parsed(text);
  if (holder !== undefined && holder.host !== hostname()) {
    throw new HomeFault(
      'home-in-use',
      `The archive in ${homePath} is in use on the machine "${holder.host}". Stop Mullion there first. ` +
        `If that machine is gone, remove the file ${lockPath}.`,
    );
  }
  if (holder !== undefined && isRunning(holder)) {
    throw new HomeFault(
      'home-in-use',
      `The archive in ${homePath} is already open: Mullion runs there as process ${holder.pid}. ` +
        'Use that one, stop it with Ctrl-C in its window, or set MULLION_HOME to another folder.',
    );
  }
  const asidePath = join(homePath, `lock.stale.${process.pid}`);
  try {
    renameSync(lockPath, asidePath);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return;
    throw error;
  }
  if (contentOf(asidePath) !== text) linked(asidePath, lockPath);
  rmSync(asidePath, { force: true });
}

function contentOf(path: string): string | undefined {
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
}

function parsed(text: string | undefined): LockContent | undefined {
  if (text === undefined) return undefined;
  try {
    const value = JSON.parse(text) as Partial<LockContent> | null;
    const { pid, began, host } = value ?? {};
    if (typeof pid !== 'number' || typeof began !== 'string' || typeof host !== 'string') {
      return undefined;
    }
    return { pid, began, host };
  } catch {
    return undefined; // not ours, or cut short by a full disk: nobody can hold it
  }
}
