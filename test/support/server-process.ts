/** The real server or worker as a process that can be killed, frozen and started again. */
import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';

const HOOKS = new URL('../run-source.mjs', import.meta.url).href;
const HELD = fileURLToPath(new URL('held-process.mjs', import.meta.url));
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

/** A process whose modules are loaded and that has not begun yet. */
export interface HeldProcess {
  /** @throws Error with its last words when it ends before it is ready */
  begin(): Promise<ServerProcess>;
  kill(): Promise<void>;
}

export function startServerProcess(
  env: Readonly<Record<string, string>>,
  app: 'server' | 'worker' = 'server',
  options: ProcessOptions = {},
): Promise<ServerProcess> {
  const main = fileURLToPath(programOf(app, 'main', options));
  return untilReady(app, forked(env, main, [], options));
}

/** The same begun ahead, so that its code is read while something else goes on. */
export function holdServerProcess(
  env: Readonly<Record<string, string>>,
  app: 'server' | 'worker',
  options: ProcessOptions = {},
): HeldProcess {
  const programs = [programOf(app, `start-${app}`, options), programOf(app, 'main', options)];
  const urls = programs.map(({ href }) => href);
  const process = forked(env, HELD, urls, options);
  const held = once(process.child, 'message');
  return {
    async begin() {
      await Promise.race([held, process.ended]);
      if (process.child.connected) process.child.send('begin');
      return untilReady(app, process);
    },
    async kill() {
      process.child.kill('SIGKILL');
      await process.ended;
    },
  };
}

function programOf(app: string, name: string, { isBuilt = false }: ProcessOptions): URL {
  const path = isBuilt
    ? `../../dist/apps/${app}/src/${name}.js`
    : `../../apps/${app}/src/${name}.ts`;
  return new URL(path, import.meta.url);
}

interface Forked {
  readonly child: ChildProcess;
  readonly ended: Promise<unknown>;
  lastWords: () => string;
}

function forked(
  env: Readonly<Record<string, string>>,
  module: string,
  args: readonly string[],
  { isBuilt = false, preload = [], isQuiet = false }: ProcessOptions,
): Forked {
  const output = isQuiet ? 'pipe' : 'inherit';
  const child = fork(module, args, {
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
  return { child, ended: once(child, 'exit'), lastWords: () => said };
}

async function untilReady(
  app: string,
  { child, ended, lastWords }: Forked,
): Promise<ServerProcess> {
  const timer = new AbortController();
  const ready = await Promise.race([
    once(child, 'message').then(([message]) => message as { kind: string; url?: string }),
    ended.then(() => undefined),
    sleep(READY_LIMIT_MS, undefined, { signal: timer.signal }).catch(() => undefined),
  ]);
  timer.abort();
  if (ready?.kind !== 'ready') {
    child.kill('SIGKILL');
    throw new Error(
      `the ${app} ended before it was ready, or was not within a minute: ${lastWords()}`,
    );
  }
  return {
    url: ready.url ?? '',
    pid: child.pid!,
    isRunning: () => child.exitCode === null && child.signalCode === null,
    lastWords,
    async kill() {
      child.kill('SIGKILL');
      await ended;
    },
    send: (signal) => {
      child.kill(signal);
    },
  };
}
