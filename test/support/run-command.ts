import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';

const HOOKS = new URL('../run-source.mjs', import.meta.url).href;
const MAIN = fileURLToPath(new URL('../../apps/cli/src/main.ts', import.meta.url));

export interface CommandRun {
  readonly status: number | null;
  readonly out: string;
  readonly err: string;
}

/**
 * `mullion …` from source, as a process beside this one.
 * @param input what is piped in; nothing is there to be asked otherwise
 */
export async function mullion(
  args: readonly string[],
  { env = {}, input = '' }: { env?: Record<string, string>; input?: string } = {},
): Promise<CommandRun> {
  const child = spawn(process.execPath, ['--import', HOOKS, MAIN, ...args], {
    env: { ...process.env, ...env, NODE_OPTIONS: '' },
    stdio: ['pipe', 'pipe', 'pipe'],
  });
  let out = '';
  let err = '';
  child.stdout.setEncoding('utf8').on('data', (text: string) => (out += text));
  child.stderr.setEncoding('utf8').on('data', (text: string) => (err += text));
  child.stdin.end(input);
  const [status] = (await once(child, 'close')) as [number | null];
  return { status, out, err };
}
