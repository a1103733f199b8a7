/** What runs and what is left when parts of a running Mullion end. Linux: processes are read in /proc. */
import { chmodSync, existsSync, mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type RunningMullion, runMullion } from '../support/running-mullion.js';

const LIMIT_MS = 120_000;

let folder: string;
const running: RunningMullion[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'mullion-faults-'));
  chmodSync(folder, 0o755);
});
afterEach(async () => {
  await Promise.all(
    running.splice(0).map((mullion) => {
      mullion.launcher.kill('SIGKILL');
      return mullion.untilGone();
    }),
  );
  rmSync(folder, { recursive: true, force: true });
}, LIMIT_MS);

async function run(name: string, args?: string[]): Promise<RunningMullion> {
  const mullion = await runMullion(join(folder, name), args);
  running.push(mullion);
  return mullion;
}

const stateOf = async ({ origin }: RunningMullion) =>
  (await (await fetch(`${origin}/v1/state`)).json()) as { mode: string; archive: { id: string } };

it(
  'Ctrl-C ends everything with exit code 0',
  async () => {
    const mullion = await run('home');
    expect((await stateOf(mullion)).mode).toBe('choose');
    expect(await mullion.stop()).toBe(0);
    await mullion.untilGone();
    expect(existsSync(join(folder, 'home', 'lock'))).toBe(false);
  },
  LIMIT_MS,
);

it.each(['launcher', 'server', 'database'] as const)(
  'a killed %s leaves nothing running, and the same archive opens again',
  async (victim) => {
    const first = await run('home');
    const { archive } = await stateOf(first);
    process.kill(victim === 'launcher' ? first.launcher.pid! : first.pidOf(victim), 'SIGKILL');
    await first.untilGone();

    const second = await run('home');
    expect((await stateOf(second)).archive.id).toBe(archive.id);
  },
  LIMIT_MS,
);

it(
  'two archives run side by side; a second start on one of them is refused with a sentence',
  async () => {
    const [one, two] = [await run('one'), await run('two')];
    expect(one.origin).not.toBe(two.origin);
    expect((await stateOf(one)).archive.id).not.toBe((await stateOf(two)).archive.id);

    const refusal = await runMullion(join(folder, 'one')).catch((error: unknown) => error);
    expect(refusal).toBeInstanceOf(Error);
    expect((refusal as Error).message).toContain(`process ${one.launcher.pid!}`);
    expect((refusal as Error).message).toContain('MULLION_HOME');
    expect((refusal as Error).message).toContain(one.origin);
    expect((await stateOf(one)).mode).toBe('choose');
  },
  LIMIT_MS,
);

it(
  'a port that is taken is named',
  async () => {
    const one = await run('one');
    const port = new URL(one.origin).port;
    await expect(runMullion(join(folder, 'two'), ['--port', port])).rejects.toThrow(
      `Port ${port} is taken`,
    );
    expect(existsSync(join(folder, 'two', 'lock'))).toBe(false);
  },
  LIMIT_MS,
);

// An ordinary user's database never runs as anybody else, so there is nothing to reach.
(process.getuid?.() === 0 ? it : it.skip)(
  'root runs it from a private 0700 folder; the database is not root',
  async () => {
    chmodSync(folder, 0o700);
    const mullion = await run('home');
    const homeFile = join(folder, 'home', 'home.json');
    const { postgresPlace } = JSON.parse(readFileSync(homeFile, 'utf8')) as {
      postgresPlace: string;
    };
    try {
      expect(postgresPlace.startsWith(folder)).toBe(false);
      expect(statSync(`/proc/${mullion.pidOf('database')}`).uid).not.toBe(0);
      expect(statSync(join(folder, 'home')).mode & 0o777).toBe(0o700);
      expect(await mullion.stop()).toBe(0);
    } finally {
      mullion.launcher.kill('SIGKILL');
      await mullion.untilGone();
      rmSync(postgresPlace, { recursive: true, force: true });
    }
  },
  LIMIT_MS,
);
