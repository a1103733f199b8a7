import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';

const HOOKS = new URL('../run-source.mjs', import.meta.url).href;

export interface ServerProcess {
  /** of a server; empty for a worker */
  url: string;
  pid: number;
  /** SIGKILL: no handler of the server runs */
  kill(): Promise<void>;
}

/** Starts the real server or worker from source, as a process that can be killed. */
export async function startServerProcess(
  env: Record<string, string>,
  app: 'server' | 'worker' = 'server',
): Promise<ServerProcess> {
  const main = fileURLToPath(new URL(`../../apps/${app}/src/main.ts`, import.meta.url));
  const child: ChildProcess = fork(main, [], {
    execArgv: ['--import', HOOKS],
    env: { ...process.env, ...env, NODE_OPTIONS: '' },
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  });
  const ended = once(child, 'exit');
  const ready = await Promise.race([
    once(child, 'message').then(([message]) => message as { kind: string; url?: string }),
    ended.then(() => undefined),
  ]);
  if (ready?.kind !== 'ready') throw new Error(`the ${app} ended before it was ready`);
  return {
    url: ready.url ?? '',
    pid: child.pid!,
    async kill() {
      child.kill('SIGKILL');
      await ended;
    },
  };
}
