import { fork } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const folder = mkdtempSync(join(tmpdir(), 'end-with-parent-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

const module = new URL('./end-with-parent.ts', import.meta.url).href;
writeFileSync(
  join(folder, 'hangs.ts'),
  `import { endWithParent } from '${module}';
  endWithParent();
  process.send(process.pid, () => { for (;;); });`,
);
writeFileSync(
  join(folder, 'parent.mjs'),
  `import { fork } from 'node:child_process';
  fork('${join(folder, 'hangs.ts')}', { stdio: ['ignore', 'ignore', 'ignore', 'ipc'] }).on('message', (pid) => process.send(pid));`,
);

function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch {
    return false; // ESRCH: no such process
  }
}

describe('endWithParent', () => {
  it('ends a hanging process after its parent was killed', async () => {
    const parent = fork(join(folder, 'parent.mjs'), { execArgv: [], env: {} });
    const pid = await new Promise<number>((resolve) => parent.once('message', resolve));
    expect(isRunning(pid)).toBe(true);
    parent.kill('SIGKILL');
    try {
      for (let tries = 0; tries < 200 && isRunning(pid); tries++) {
        await new Promise((resolve) => setTimeout(resolve, 100));
      }
      expect(isRunning(pid)).toBe(false);
    } finally {
      if (isRunning(pid)) process.kill(pid, 'SIGKILL');
    }
  }, 40_000);
});
