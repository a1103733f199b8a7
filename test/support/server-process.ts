/** The real server or worker as a process that can be killed, frozen and started again. */
import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';

const HOOKS = new URL('../run-source.mjs', import.meta.url).href;
const READY_LIMIT_MS = 60_000;
/** Of what it said the end is kept: a killed database makes it say a lot. */
const WORDS_KEPT = 8000;

export interface ServerProcess {
  /** of a server; empty for a worker */
  readonly url: string;
  readonly pid: number;
  isRunning(): boolean;
  /** the end of what it said, where that was to be kept */
  lastWords(): string;
  /** SIGKILL: no handler of the server runs */
  kill(): Promise<void>;
  send(signal: NodeJS.Signals): void;
}

export interface ProcessOptions {
  /** from dist/, which starts faster; else from the sources */
  readonly isBuilt?: boolean;
  /** modules loaded before the program, e.g. a clock that can be set */
  readonly preload?: readonly string[];
  /** keeps what it says for `lastWords` instead of showing it */
  readonly isQuiet?: boolean;
}

export async function startServerProcess(
  env: Readonly<Record<string, string>>,
  app: 'server' | 'worker' = 'server',
  { isBuilt = false, preload = [], isQuiet = false }: ProcessOptions = {},
): Promise<ServerProcess> {
  const main = isBuilt ? `../../dist/apps/${app}/src/main.js` : `../../apps/${app}/src/main.ts`;
  const output = isQuiet ? 'pipe' : 'inherit';
  const child: ChildProcess = fork(fileURLToPath(new URL(main, import.meta.url)), [], {
    execArgv: [...(isBuilt ? [] : [HOOKS]), ...preload].flatMap((path) => ['--import', path]),
    env: { ...process.env, ...env, NODE_OPTIONS: '' },
    stdio: ['ignore', output, output, 'ipc'],
  });
  let said = '';
  for (const stream of [child.stdout, child.stderr]) {
    stream?.setEncoding('utf8').on('data', (text: string) => {
      said = (said + text).slice(-WORDS_KEPT);
    });
  }
  const ended = once(child, 'exit');
  const timer = new AbortController();
  const ready = await Promise.race([
    once(child, 'message').then(([message]) => message as { kind: string; url?: string }),
    ended.then(() => undefined),
    sleep(READY_LIMIT_MS, undefined, { signal: timer.signal }).catch(() => undefined),
  ]);
  timer.abort();
  if (ready?.kind !== 'ready') {
    child.kill('SIGKILL');
    throw new Error(`the ${app} ended before it was ready, or was not within a minute: ${said}`);
  }
  return {
    url: ready.url ?? '',
    pid: child.pid!,
    isRunning: () => child.exitCode === null && child.signalCode === null,
    lastWords: () => said,
    async kill() {
      child.kill('SIGKILL');
      await ended;
    },
    send: (signal) => {
      child.kill(signal);
    },
  };
}
