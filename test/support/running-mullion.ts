/** The whole program as `npm start` runs it: launcher, database, server and worker as processes. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';

const LAUNCHER = join(import.meta.dirname, 'launch-built.mjs');
const GONE_LIMIT_MS = 30_000;

export interface RunningMullion {
  readonly origin: string;
  /** of the one-time link */
  readonly token: string;
  readonly launcher: ChildProcess;
  /** everything that was said so far */
  output(): string;
  /** process numbers of the parts, while they run */
  pidOf(part: 'server' | 'worker' | 'database'): number;
  /** Ctrl-C; resolves with the exit code. */
  stop(): Promise<number | null>;
  /** Waits until launcher and all parts are gone, whatever ended them. */
  untilGone(): Promise<void>;
}

/** The Mullions that a test started, so that none outlives it. */
export class StartedMullions {
  readonly #running: RunningMullion[] = [];

  async start(home: string): Promise<RunningMullion> {
    const one = await runMullion(home);
    this.#running.push(one);
    return one;
  }

  async killAll(): Promise<void> {
    await Promise.all(
      this.#running.splice(0).map((one) => {
        one.launcher.kill('SIGKILL');
        return one.untilGone();
      }),
    );
  }
}

/** @throws Error with everything that was said when the launcher ends before the program runs */
export async function runMullion(
  home: string,
  args: readonly string[] = ['--port', '0'],
  environment: Record<string, string> = {},
): Promise<RunningMullion> {
  const launcher = spawn(process.execPath, [LAUNCHER, ...args], {
    env: { ...process.env, NODE_OPTIONS: '', MULLION_HOME: home, ...environment },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let said = '';
  for (const stream of [launcher.stdout, launcher.stderr]) {
    stream.setEncoding('utf8').on('data', (text: string) => (said += text));
  }
  const link = /(http:\/\/127\.0\.0\.1:\d+)\/#welcome=(\S+)/;
  while (!link.test(said)) {
    if (launcher.exitCode !== null || launcher.signalCode !== null) {
      await sleep(100); // its last words
      throw new Error(said.trim());
    }
    await sleep(50);
  }
  const [, origin, token] = link.exec(said)!;
  const parts = new Map<number, string>();
  for (const pid of childrenOf(launcher.pid!)) parts.set(pid, commandOf(pid));
  const pidOf = (part: string): number => {
    const marks: Record<string, string> = {
      server: 'apps/server/',
      worker: 'apps/worker/src/main',
      database: 'postgres\0-D',
    };
    const found = [...parts].find(([, command]) => command.includes(marks[part]!));
    if (found === undefined) throw new Error(`no ${part} among the launcher's processes`);
    return found[0];
  };
  return {
    origin: origin!,
    token: token!,
    launcher,
    output: () => said,
    pidOf,
    async stop() {
      const exit = once(launcher, 'exit') as Promise<[number | null]>;
      launcher.kill('SIGINT');
      return (await exit)[0];
    },
    async untilGone() {
      const deadline = Date.now() + GONE_LIMIT_MS;
      const all = [launcher.pid!, ...parts.keys()];
      for (;;) {
        const left = all.filter((pid) => commandOf(pid) !== '');
        if (left.length === 0) return;
        if (Date.now() > deadline) {
          throw new Error(
            `still running: ${left.map((pid) => `${pid} ${commandOf(pid)}`).join('; ')}`,
          );
        }
        await sleep(50);
      }
    },
  };
}

function childrenOf(pid: number): number[] {
  const text = readFileSync(`/proc/${pid}/task/${pid}/children`, 'utf8').trim();
  return text === '' ? [] : text.split(' ').map(Number);
}

/** NUL-separated as in proc(5); empty for a process that is gone or only waits to be collected. */
function commandOf(pid: number): string {
  const file = `/proc/${pid}/cmdline`;
  try {
    return existsSync(file) ? readFileSync(file, 'utf8') : '';
  } catch {
    return ''; // it went between the two looks
  }
}
