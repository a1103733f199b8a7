/**
 * Appends against the floor of the same run: one row of the entry's shape, one durable transaction
 * each, one client on one connection.
 */
import { createPool } from '#libs/db';
import { type BenchArchive, type BenchSite, recordOne } from './bench-archive.js';

/** Rows in a second and the median of one, ms: `INSERT` alone, committed by itself. */
export async function rawCommits(
  { ownerUrl }: BenchArchive,
  seconds: number,
): Promise<{ perSecond: number; medianMs: number }> {
  const pool = createPool(ownerUrl, { max: 1 });
  const client = await pool.connect();
  try {
    await client.query('CREATE TABLE IF NOT EXISTS bench_entry (LIKE entry INCLUDING ALL)');
    const bytes = Buffer.alloc(800, 7);
    const hash = Buffer.alloc(32, 9);
    const at = new Date('2026-11-25T08:00:00Z');
    const actor = '0190a0c4-0000-7000-8000-000000000001';
    const { rows } = await client.query<{ n: string }>('SELECT count(*) AS n FROM bench_entry');
    let seq = Number(rows[0]!.n);
    const insert = () =>
      client.query({
        name: 'floor',
        text: `INSERT INTO bench_entry (log_id, seq, type, subject, actor_id, happened, recorded_at, bytes, leaf_hash)
               VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
        values: [
          'bench',
          seq++,
          'finding.record',
          'SLM.wI.1a.3',
          actor,
          '2026-11',
          at,
          bytes,
          hash,
        ],
      });
    for (let i = 0; i < 20; i++) await insert();
    const times: number[] = [];
    const end = performance.now() + seconds * 1000;
    for (let before = performance.now(); before < end; ) {
      await insert();
      const after = performance.now();
      times.push(after - before);
      before = after;
    }
    return {
      perSecond: (1000 * times.length) / times.reduce((sum, ms) => sum + ms, 0),
      medianMs: median(times),
    };
  } finally {
    client.release();
    await pool.end();
  }
}

/**
 * Findings recorded in a second by so many clients a site, each sending the next when answered; and the
 * processor time that this process took for one, microseconds (PostgreSQL's own is not in it).
 */
export async function appendRate(
  bench: BenchArchive,
  sites: readonly BenchSite[],
  clients: number,
  seconds: number,
  counter: { next: number },
): Promise<{ perSecond: number; medianMs: number; p95Ms: number; cpuUs: number }> {
  const times: number[] = [];
  const cpuBefore = process.cpuUsage();
  const begin = performance.now();
  const end = begin + seconds * 1000;
  await Promise.all(
    sites.flatMap((site) =>
      Array.from({ length: clients }, async () => {
        for (let before = performance.now(); before < end; ) {
          await recordOne(bench, site, counter.next++);
          const after = performance.now();
          times.push(after - before);
          before = after;
        }
      }),
    ),
  );
  const took = performance.now() - begin;
  const { user, system } = process.cpuUsage(cpuBefore);
  times.sort((a, b) => a - b);
  return {
    perSecond: (1000 * times.length) / took,
    medianMs: median(times),
    p95Ms: times[Math.floor(times.length * 0.95)]!,
    cpuUs: (user + system) / times.length,
  };
}

export function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;
}
