/** A Mullion of its own for a test: started as `npm start` does after the build, in a fresh home. */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export interface RunningMullion {
  readonly origin: string;
  readonly home: string;
  /** `<origin>/#welcome=…`, signs in once */
  readonly welcome: string;
  readonly stop: () => Promise<void>;
}

/** Where the built program lies: this clone, or the copy that MULLION_BUILT names. */
export const built = process.env['MULLION_BUILT'] ?? new URL('../../../', import.meta.url).pathname;
const startLimitMs = 90_000;

/** @param args as after `npm start --` */
export async function startMullion(...args: readonly string[]): Promise<RunningMullion> {
  const home = mkdtempSync(join(tmpdir(), 'mullion-e2e-'));
  const child = spawn(
    process.execPath,
    [
      '--input-type=module',
      '--eval',
      `const { launch } = await import(${JSON.stringify(`${built}tools/launch.mjs`)});
       await launch(${JSON.stringify(['--port', '0', ...args])});`,
    ],
    {
      cwd: built,
      env: { ...process.env, MULLION_HOME: home, NODE_OPTIONS: '' },
      stdio: ['ignore', 'pipe', 'pipe'],
    },
  );
  const welcome = await welcomeLink(child);
  return {
    welcome,
    home,
    origin: new URL(welcome).origin,
    stop: async () => {
      const ended = new Promise((resolve) => child.once('exit', resolve));
      if (child.exitCode === null) {
        child.kill('SIGTERM');
        await ended;
      }
      rmSync(home, { recursive: true, force: true });
    },
  };
}

function welcomeLink(child: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let said = '';
    const timer = setTimeout(() => {
      reject(new Error(`Mullion did not start within ${startLimitMs / 1000} s:\n${said}`));
    }, startLimitMs);
    const hear = (chunk: Buffer) => {
      said += chunk.toString();
      const link = /http:\/\/\S+#welcome=\S+/.exec(said)?.[0];
      if (link === undefined) return;
      clearTimeout(timer);
      resolve(link);
    };
    child.stdout?.on('data', hear);
    child.stderr?.on('data', hear);
    child.once('exit', (code) => {
      clearTimeout(timer);
      reject(new Error(`Mullion ended with ${code}:\n${said}`));
    });
  });
}
