import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';

const HOOKS = new URL('../run-source.mjs', import.meta.url).href;

export interface ServerProcess {
  url: string;
  /** SIGKILL: no handler of the server runs */
  kill(): Promise<void>;
}

/** Starts the real server from source, as a process that can be killed. */
export async function startServerProcess(env: Record<string, string>): Promise<ServerProcess> {
  const main = fileURLToPath(new URL('../../apps/server/src/main.ts', import.meta.url));
  const child: ChildProcess = fork(main, [], {
    execArgv: ['--import', HOOKS],
    env: { ...process.env, ...env, NODE_OPTIONS: '' },
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  });
  const ended = once(child, 'exit');
  const ready = await Promise.race([
    once(child, 'message').then(([message]) => message as { kind: string; url: string }),
    ended.then(() => undefined),
  ]);
  if (ready?.kind !== 'ready') throw new Error('the server ended before it was ready');
  return {
    url: ready.url,
    async kill() {
      child.kill('SIGKILL');
      await ended;
    },
  };
}
