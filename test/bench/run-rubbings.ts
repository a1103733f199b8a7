/**
 * npm run bench:rubbings: the held-out generated rubbings, scored and pooled.
 * `-- --set tuning` runs the others; `-- --keep DIR` keeps the pictures there and uses them again.
 */
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { barLines } from './bars.js';
import { caseName, HELD_OUT_CASES, TUNING_CASES } from './generator/cases.js';
import { writeCase } from './generator/write-case.js';
import { type CaseOutcome, runCase } from './run-case.js';
import { confidenceTable, pool, scoreTable } from './score-table.js';

const { values } = parseArgs({ options: { set: { type: 'string' }, keep: { type: 'string' } } });
const recipes = values.set === 'tuning' ? TUNING_CASES : HELD_OUT_CASES;
const folder = values.keep ?? mkdtempSync(join(tmpdir(), 'rubbings-'));
const say = (line: string): boolean => process.stdout.write(`${line}\n`);

const outcomes: (CaseOutcome & { quality: string })[] = [];
try {
  for (const recipe of recipes) {
    const name = caseName(recipe);
    const place = join(folder, name);
    if (!existsSync(join(place, 'truth.json'))) await writeCase(recipe, place);
    outcomes.push({ ...runCase(name, place), quality: recipe.quality });
    process.stderr.write(`${name}\n`);
  }
} finally {
  if (values.keep === undefined) rmSync(folder, { recursive: true, force: true });
}

for (const line of scoreTable(outcomes)) say(line);
const good = outcomes.filter((o) => o.quality !== 'poor');
const scans = outcomes.filter((o) => o.quality === 'clean');
const poor = outcomes.filter((o) => o.quality === 'poor');
for (const [set, cases] of [
  ['clean and phone', good],
  ['scans', scans],
  ['poor', poor],
] as const) {
  const p = pool(cases);
  say(`\n${set}: ${p.cases} generated rubbings`);
  for (const line of barLines(set, p)) say(line);
}
say('\nleads by how sure the program is of them');
for (const line of confidenceTable(outcomes)) say(line);
