/** npm run bench:samples: every rubbing case in fixtures/, scored, beside the bars. */
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type BarSet, barLines } from './bars.js';
import { type CaseOutcome, runCase } from './run-case.js';
import { pool, scoreTable } from './score-table.js';

const folder = fileURLToPath(new URL('../../fixtures/rubbings', import.meta.url));
const say = (line: string): boolean => process.stdout.write(`${line}\n`);

const outcomes = readdirSync(folder, { withFileTypes: true })
  .filter((entry) => entry.isDirectory())
  .map(({ name }) => runCase(name, join(folder, name)));
for (const line of scoreTable(outcomes)) say(line);
const groups: [BarSet, CaseOutcome[]][] = [
  ['clean and phone', outcomes.filter((o) => o.name !== 'hard')],
  ['poor', outcomes.filter((o) => o.name === 'hard')],
];
for (const [set, cases] of groups) {
  say(`\nbars, ${set} (${cases.map((o) => o.name).join(', ')}), on generated rubbings`);
  for (const line of barLines(set, pool(cases))) say(line);
}
