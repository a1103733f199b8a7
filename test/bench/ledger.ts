/**
 * The bars of the ledger, each beside a floor measured in the same run: `npm run bench:ledger`.
 * With `-- --quick` on small numbers, to see that it runs; with `-- --only append,proof` some of it.
 */
import { availableParallelism, loadavg } from 'node:os';
import { parseArgs } from 'node:util';
import { appendRate, median, rawCommits } from './ledger/append.js';
import { type BenchArchive, type BenchSite, openBenchArchive } from './ledger/bench-archive.js';
import { copiedRows } from './ledger/copied-rows.js';
import { intakeSeconds } from './ledger/intake.js';
import { lengthen, proofTimes, proofTimesInProcess } from './ledger/proofs.js';
import { serveArchive } from './ledger/served-archive.js';
import { verifySpeed } from './ledger/verify.js';

const { values } = parseArgs({
  options: {
    quick: { type: 'boolean', default: false },
    only: { type: 'string', default: 'append,verify,proof,intake' },
  },
});
const parts = new Set(values.only.split(','));
const CLIENTS = 64;
const SITES = 8;
const ROUNDS = 3;
/** With it a commit takes as long as on the machine that the bar of 25 was set on: 2.5-3.7 ms. */
const SLOW_COMMIT_MS = 3;
const SECONDS = values.quick ? 1 : 10;
const ENTRIES = values.quick ? 70_000 : 1_000_000;
/** A hash kept of each entry would be thirty times as much at a million. */
const GROWN_MB = 1;
const PROOFS = values.quick ? 300 : 1000;
const FILES = values.quick ? 10 : 200;

interface Row {
  readonly bar: string;
  readonly measured: string;
  readonly floor: string;
  readonly ratio: number;
  /** undefined: told, not asked for */
  readonly holds?: boolean;
}

const rows: Row[] = [];

function told(row: Row): void {
  rows.push(row);
  const verdict = row.holds === undefined ? '' : row.holds ? 'holds' : 'FAILS';
  console.log(
    `${row.bar.padEnd(66)} ${row.measured.padStart(12)} ${row.floor.padStart(12)} ${row.ratio.toFixed(2).padStart(7)}  ${verdict}`,
  );
}

async function append(): Promise<void> {
  const bench = await openBenchArchive();
  try {
    const settings = Object.entries(bench.settings).map(([name, value]) => `${name} ${value}`);
    console.log(`PostgreSQL: ${settings.join(', ')}`);
    const sites = [];
    for (let i = 0; i < SITES; i++) sites.push(await bench.site(`S${i}X`));
    const counter = { next: 0 };
    await appendRate(bench, sites.slice(0, 1), CLIENTS, SECONDS, counter); // warm
    type Rate = Awaited<ReturnType<typeof appendRate>>;
    const rounds: {
      floor: Awaited<ReturnType<typeof rawCommits>>;
      many: Rate;
      lone: Rate;
      eight: Rate;
      spread: Rate;
    }[] = [];
    for (let round = 0; round < ROUNDS; round++) {
      const floor = await rawCommits(bench, SECONDS / 2);
      const many = await appendRate(bench, sites.slice(0, 1), CLIENTS, SECONDS, counter);
      const lone = await appendRate(bench, sites.slice(0, 1), 1, SECONDS / 2, counter);
      const eight = await appendRate(bench, sites.slice(0, 1), 8, SECONDS / 2, counter);
      const spread = await appendRate(bench, sites, 8, SECONDS, counter);
      rounds.push({ floor, many, lone, eight, spread });
    }
    const mid = (of: (round: (typeof rounds)[number]) => number) => median(rounds.map(of));
    const floor = `${mid((r) => r.floor.perSecond).toFixed(0)}/s`;
    const manyRatio = mid((r) => r.many.perSecond / r.floor.perSecond);
    told({
      bar: `append, ${CLIENTS} clients on one site, ≥ 25 × one-row commits`,
      measured: `${mid((r) => r.many.perSecond).toFixed(0)}/s`,
      floor,
      ratio: manyRatio,
      holds: manyRatio >= 25,
    });
    const loneRatio = mid((r) => r.lone.medianMs / r.floor.medianMs);
    told({
      bar: 'a lone command, ≤ 2 × the raw commit',
      measured: `${mid((r) => r.lone.medianMs).toFixed(2)} ms`,
      floor: `${mid((r) => r.floor.medianMs).toFixed(2)} ms`,
      ratio: loneRatio,
      holds: loneRatio <= 2,
    });
    told({
      bar: `${SITES} sites of 8 clients against one site of 8`,
      measured: `${mid((r) => r.spread.perSecond).toFixed(0)}/s`,
      floor: `${mid((r) => r.eight.perSecond).toFixed(0)}/s`,
      ratio: mid((r) => r.spread.perSecond / r.eight.perSecond),
    });
    const manyCopied = await copiedRows(bench, sites[0]!, CLIENTS, SECONDS / 2);
    told({
      bar: `the rows of ${CLIENTS} commands a commit, copied inside PostgreSQL`,
      measured: `${manyCopied.perSecond.toFixed(0)}/s`,
      floor,
      ratio: manyCopied.perSecond / mid((r) => r.floor.perSecond),
    });
    const oneCopied = await copiedRows(bench, sites[0]!, 1, SECONDS / 2);
    told({
      bar: 'the rows of one command a commit, copied inside PostgreSQL',
      measured: `${oneCopied.medianMs.toFixed(2)} ms`,
      floor: `${mid((r) => r.floor.medianMs).toFixed(2)} ms`,
      ratio: oneCopied.medianMs / mid((r) => r.floor.medianMs),
    });
    const cpuUs = (of: (round: (typeof rounds)[number]) => Rate) =>
      mid((r) => of(r).cpuUs).toFixed(0);
    console.log(
      `processor time of Node for a command: ${cpuUs((r) => r.many)} µs with ${CLIENTS} clients, ${cpuUs((r) => r.lone)} µs alone`,
    );
    await slowCommits(bench, sites.slice(0, 1), counter);
  } finally {
    await bench.close();
  }
}

/** What the bars' ratios are where a durable commit takes longer: told, since here it is made longer. */
async function slowCommits(
  bench: BenchArchive,
  sites: readonly BenchSite[],
  counter: { next: number },
): Promise<void> {
  await bench.delayCommits(SLOW_COMMIT_MS);
  const floor = await rawCommits(bench, SECONDS / 2);
  const many = await appendRate(bench, sites, CLIENTS, SECONDS, counter);
  const lone = await appendRate(bench, sites, 1, SECONDS / 2, counter);
  const where = `each commit ${SLOW_COMMIT_MS} ms longer (commit_delay)`;
  told({
    bar: `${CLIENTS} clients on one site, ${where}`,
    measured: `${many.perSecond.toFixed(0)}/s`,
    floor: `${floor.perSecond.toFixed(0)}/s`,
    ratio: many.perSecond / floor.perSecond,
  });
  told({
    bar: `a lone command, ${where}`,
    measured: `${lone.medianMs.toFixed(2)} ms`,
    floor: `${floor.medianMs.toFixed(2)} ms`,
    ratio: lone.medianMs / floor.medianMs,
  });
}

async function verify(): Promise<void> {
  const { hashesS, treeS, formS, heldMb } = await verifySpeed(ENTRIES);
  told({
    bar: `verify ${ENTRIES} entries, ≥ 0.7 of the SHA-256 calls alone`,
    measured: `${treeS.toFixed(2)} s`,
    floor: `${hashesS.toFixed(2)} s`,
    ratio: hashesS / treeS,
    holds: hashesS / treeS >= 0.7,
  });
  told({
    bar: 'the same with the form of each entry',
    measured: `${formS.toFixed(2)} s`,
    floor: `${hashesS.toFixed(2)} s`,
    ratio: hashesS / formS,
  });
  const grownMb = heldMb.atEnd - heldMb.atTenth;
  told({
    bar: `held while verifying, after all and after a tenth: ≤ ${GROWN_MB} MB more`,
    measured: `${heldMb.atEnd.toFixed(2)} MB`,
    floor: `${heldMb.atTenth.toFixed(2)} MB`,
    ratio: grownMb / GROWN_MB,
    holds: grownMb <= GROWN_MB,
  });
}

async function served(): Promise<void> {
  const archive = await serveArchive();
  try {
    if (parts.has('intake')) {
      const rate = (mb: number, seconds: number) => `${(mb / seconds).toFixed(0)} MB/s`;
      for (const atOnce of [1, 4]) {
        const { floorS, putS, tusS, mb } = await intakeSeconds(archive, FILES, atOnce);
        for (const [name, bar, seconds] of [
          ['streaming PUT', 0.85, putS],
          ['tus', 0.6, tusS],
        ] as const) {
          const ratio = floorS / seconds;
          told({
            bar: `${FILES} × 8 MB by ${name}, ${atOnce} at once, ≥ ${bar} of hash + write + flush`,
            measured: rate(mb, seconds),
            floor: rate(mb, floorS),
            ratio,
            holds: ratio >= bar,
          });
        }
      }
    }
    if (parts.has('proof')) {
      const log = { from: await lengthen(archive, ENTRIES), size: ENTRIES };
      const { inclusionMs, consistencyMs } = await proofTimes(archive, log, PROOFS);
      for (const [name, times] of [
        ['proof of any entry, by HTTP', inclusionMs],
        ['proof of growth, by HTTP', consistencyMs],
        ['proof of any entry, in process', await proofTimesInProcess(archive, log, PROOFS)],
      ] as const) {
        const p95 = [...times].sort((a, b) => a - b)[Math.floor(times.length * 0.95)]!;
        told({
          bar: `${name}, ${ENTRIES} entries, p95 ≤ 5 ms`,
          measured: `${p95.toFixed(2)} ms`,
          floor: '5 ms',
          ratio: p95 / 5,
          holds: p95 <= 5,
        });
      }
    }
  } finally {
    await archive.close();
  }
}

console.log(
  `${availableParallelism()} cores, load ${loadavg()[0]!.toFixed(1)} at the start (other work on the machine slows what computes more than what waits for the disk)`,
);
console.log(
  `${'bar'.padEnd(66)} ${'measured'.padStart(12)} ${'floor'.padStart(12)} ${'ratio'.padStart(7)}`,
);
if (parts.has('append')) await append();
if (parts.has('verify')) await verify();
if (parts.has('proof') || parts.has('intake')) await served();
if (rows.some(({ holds }) => holds === false)) process.exitCode = 1;
