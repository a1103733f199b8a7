/**
 * A process told apart from a later one with the same number: its number and the moment it began.
 * Linux reads /proc; elsewhere `ps` answers.
 */
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';

export interface ProcessIdentity {
  readonly pid: number;
  /** opaque; equal only for the same run of the same process on the same boot */
  readonly began: string;
}

/** Undefined when no process has that number. */
export function identityOf(pid: number): ProcessIdentity | undefined {
  const began = process.platform === 'linux' ? beganByProc(pid) : beganByPs(pid);
  return began === undefined ? undefined : { pid, began };
}

export function isRunning(identity: ProcessIdentity): boolean {
  return identityOf(identity.pid)?.began === identity.began;
}

function beganByProc(pid: number): string | undefined {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
    // proc(5): the name in parentheses may hold spaces; state is field 3, start time in ticks since boot field 22
    const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
    if (fields[0] === 'Z' || fields[0] === 'X') return undefined;
    const boot = readFileSync('/proc/sys/kernel/random/boot_id', 'utf8').trim();
    return `${boot} ${fields[19] ?? ''}`;
  } catch {
    return undefined; // no such process
  }
}

function beganByPs(pid: number): string | undefined {
  try {
    const text = execFileSync('ps', ['-o', 'lstart=', '-p', String(pid)], { encoding: 'utf8' });
    return text.trim() === '' ? undefined : text.trim();
  } catch {
    return undefined; // ps exits 1 when there is no such process
  }
}
