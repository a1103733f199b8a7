/** A server or worker of the built program, as a process that can be killed, frozen and started again. */
import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';

const READY_LIMIT_MS = 60_000;

export interface Part {
  /** of a server; empty for a worker */
  readonly url: string;
  readonly pid: number;
  isRunning(): boolean;
  /** the end of what it said */
  lastWords(): string;
  /** SIGKILL: no handler runs */
  kill(): Promise<void>;
  send(signal: NodeJS.Signals): void;
}

/** @param preload modules loaded before the program, e.g. a clock that can be set */
export async function startPart(
  app: 'server' | 'worker',
  env: Readonly<Record<string, string>>,
  preload: readonly string[] = [],
): Promise<Part> {
  const main = fileURLToPath(new URL(`../../../dist/apps/${app}/src/main.js`, import.meta.url));
  const child: ChildProcess = fork(main, [], {
    execArgv: [
      '--disable-warning=ExperimentalWarning',
      ...preload.flatMap((path) => ['--import', path]),
    ],
    env: { ...process.env, ...env, NODE_OPTIONS: '' },
    stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
  });
  // what is said is kept for the case that it does not come up; a killed database makes it say a lot
  let said = '';
  for (const stream of [child.stdout!, child.stderr!]) {
    stream.setEncoding('utf8').on('data', (text: string) => {
      said = (said + text).slice(-8000);
    });
  }
  const ended = once(child, 'exit');
  const timer = new AbortController();
  const ready = await Promise.race([
    once(child, 'message').then(([message]) => message as { kind: string; url?: string }),
    ended.then(() => undefined),
    new Promise<undefined>((resolve) => {
      const late = setTimeout(() => {
        resolve(undefined);
      }, READY_LIMIT_MS);
      timer.signal.addEventListener('abort', () => {
        clearTimeout(late);
      });
    }),
  ]);
  timer.abort();
  if (ready?.kind !== 'ready') {
    child.kill('SIGKILL');
    throw new Error(`the ${app} was not ready within ${READY_LIMIT_MS / 1000} s: ${said}`);
  }
  return {
    url: ready.url ?? '',
    pid: child.pid!,
    lastWords: () => said.slice(-600),
    isRunning: () => child.exitCode === null && child.signalCode === null,
    async kill() {
      child.kill('SIGKILL');
      await ended;
    },
    send: (signal) => {
      child.kill(signal);
    },
  };
}
