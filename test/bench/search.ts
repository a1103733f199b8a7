/**
 * Searching the past over a million acts and two million findings: `npm run bench:search`.
 *
 * Each kind of question is asked with other values every time; our route (in process, and by HTTP) beside
 * the very statements that it sends, put to the same PostgreSQL by the same driver in the same run.
 *
 *     -- --quick            100,000 rows, fewer questions
 *     -- --home DIR         a home that is kept between runs; without it one is made and removed
 *     -- --fill-seconds N   stop filling after so long and end: the next run with the same home goes on
 *     -- --rounds N         of each kind
 *     -- --in-process       leave HTTP out
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { openHome, startArchiveDatabase } from '#libs/db';
import { quantile } from './quantile.js';
import { askOver, openAsked } from './search/ask.js';
import { fillSearch } from './search/fill.js';
import { QUESTIONS } from './search/questions.js';

const { values } = parseArgs({
  options: {
    quick: { type: 'boolean', default: false },
    home: { type: 'string' },
    'fill-seconds': { type: 'string', default: '100000' },
    rounds: { type: 'string' },
    'in-process': { type: 'boolean', default: false },
  },
});
const ROWS = values.quick ? 100_000 : 3_000_000;
const ROUNDS = Number(values.rounds ?? (values.quick ? 8 : 40));
const WARM_MS = 150;
const RATIO = 1.2;

const folder = values.home ?? join(mkdtempSync(join(tmpdir(), 'mullion-bench-')), 'home');
const database = await startArchiveDatabase(openHome(folder));
try {
  if (await fillSearch(database.ownerUrl, ROWS, Number(values['fill-seconds']))) await measure();
  else console.log('not filled yet: run again with the same --home');
} finally {
  await database.stop();
  if (values.home === undefined) rmSync(folder, { recursive: true, force: true });
}

async function measure(): Promise<void> {
  const asked = await openAsked(folder, database.applicationUrl, !values['in-process']);
  try {
    console.log(`${ROWS} rows, ${ROUNDS} of each kind, load ${loadavg()[0]!.toFixed(1)}`);
    console.log(
      'question'.padEnd(48),
      'hits'.padStart(8),
      'raw p50',
      'raw p95',
      'ours p50',
      'ours p95',
      'HTTP p50',
      'HTTP p95',
    );
    const all = { raw: [] as number[], ours: [] as number[], http: [] as number[] };
    for (const question of QUESTIONS) {
      const times = await askOver(asked, question, ROUNDS);
      all.raw.push(...times.raw);
      all.ours.push(...times.ours);
      all.http.push(...times.http);
      const cells = [times.raw, times.ours, times.http].flatMap((list) => [
        quantile(list, 0.5),
        quantile(list, 0.95),
      ]);
      console.log(
        question.name.padEnd(48),
        said(times.hits).padStart(8),
        cells.map((ms) => ms.toFixed(1).padStart(8)).join(' '),
      );
    }
    verdict('in process', all.ours, all.raw);
    if (!values['in-process']) verdict('by HTTP', all.http, all.raw);
  } finally {
    await asked.close();
  }
}

function verdict(way: string, ours: readonly number[], raw: readonly number[]): void {
  const [p95, floor] = [quantile(ours, 0.95), quantile(raw, 0.95)];
  const ratio = p95 / floor;
  console.log(
    `p95 of all ${way}: ${p95.toFixed(1)} ms, raw ${floor.toFixed(1)} ms, ratio ${ratio.toFixed(2)}: ≤ ${RATIO} ${ratio <= RATIO ? 'holds' : 'FAILS'}, ≤ ${WARM_MS} ms ${p95 <= WARM_MS ? 'holds' : 'FAILS'}`,
  );
  if (ratio > RATIO || p95 > WARM_MS) process.exitCode = 1;
}

function said(hits: number): string {
  return hits > 10_000 ? '10 000+' : String(hits);
}
