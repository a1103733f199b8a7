import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DecodePool } from './decode-pool.js';
import { DEFAULT_IMAGING_LIMITS } from './imaging-limits.js';

const folder = mkdtempSync(join(tmpdir(), 'decode-pool-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

// a decoder that does to itself what a hostile file would: the task's path says what
const script = join(folder, 'bad-decoder.mjs');
writeFileSync(
  script,
  `process.on('message', ({ task }) => {
    if (task.path === 'crash') process.kill(process.pid, 'SIGSEGV');
    else if (task.path === 'exit') process.exit(3);
    else if (task.path === 'hang') for (;;);
    else if (task.path === 'grow') { const held = []; setInterval(() => held.push(Buffer.alloc(32 << 20, 1)), 5); }
    else if (task.path === 'environment') process.send({ ok: true, answer: Object.keys(process.env) });
    else process.send({ ok: true, answer: process.pid });
  });`,
);
// 15 s: on a busy machine a process takes seconds to start and to fill its memory
const limits = { ...DEFAULT_IMAGING_LIMITS, maxMs: 15_000, maxMemoryMiB: 300 };
const ask = (pool: DecodePool, path: string) =>
  pool.run({
    task: { name: 'probe', path },
    limits: path === 'hang' ? { ...limits, maxMs: 700 } : limits,
  });

describe('DecodePool', () => {
  let pool: DecodePool;
  beforeEach(() => {
    pool = new DecodePool({ script, concurrency: 2 });
  });
  afterEach(() => {
    pool.close();
  });

  it.each([
    ['crash', 'decoder-crashed'],
    ['exit', 'decoder-crashed'],
    ['hang', 'decoder-too-slow'],
    ['grow', 'decoder-too-big'],
  ])('survives a decoder that does %s', async (what, fault) => {
    const bad = expect(ask(pool, what)).rejects.toMatchObject({ fault });
    // the good task beside it is answered, and so is the next one
    expect(typeof (await ask(pool, 'good'))).toBe('number');
    await bad;
    expect(typeof (await ask(pool, 'good'))).toBe('number');
  });

  it('runs no more processes than allowed and uses them again', async () => {
    const pids = await Promise.all(Array.from({ length: 12 }, () => ask(pool, 'good')));
    expect(new Set(pids).size).toBeLessThanOrEqual(2);
  });

  it('hands nothing of the environment to the decoder', async () => {
    process.env['SECRET_FOR_TEST'] = 'x';
    expect(await ask(pool, 'environment')).not.toContain('SECRET_FOR_TEST');
  });
});
