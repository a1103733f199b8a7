/** A `mullion admin` command beside the archive under trial, to be killed or to come to its end. */
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';

const HELD = fileURLToPath(new URL('../../support/held-process.mjs', import.meta.url));
const CLI = new URL('../../../dist/apps/cli/src/', import.meta.url);

export interface AdminRun {
  /** undefined for one that was killed */
  readonly status: number | undefined;
  readonly said: string;
  /** from its beginning, its code being read already */
  readonly ms: number;
}

/**
 * @param args the command below `mullion admin`, then its arguments
 * @param killAfterMs when it is killed, counted from its beginning; without it it comes to its end
 * @throws Error with what it said when it ends before its code is read
 */
export async function admin(
  args: readonly string[],
  env: Readonly<Record<string, string>>,
  killAfterMs?: number,
): Promise<AdminRun> {
  const programs = [`admin/${args[0]}-command.js`, 'main.js'].map(
    (path) => new URL(path, CLI).href,
  );
  const child = fork(HELD, [...programs, 'admin', ...args], {
    env: { ...process.env, ...env, NODE_OPTIONS: '' },
    execArgv: [],
    stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
  });
  let said = '';
  for (const stream of [child.stdout, child.stderr]) {
    stream!.setEncoding('utf8').on('data', (text: string) => (said += text));
  }
  const ended = once(child, 'close') as Promise<[number | null]>;
  const held = await Promise.race([once(child, 'message'), ended.then(() => undefined)]);
  if (held === undefined)
    throw new Error(`admin ${args.join(' ')} ended before its code was read: ${said}`);
  const began = performance.now();
  child.send('begin');
  if (killAfterMs !== undefined) {
    await Promise.race([sleep(killAfterMs), ended]);
    child.kill('SIGKILL');
  }
  const [status] = await ended;
  return { status: status ?? undefined, said, ms: performance.now() - began };
}
