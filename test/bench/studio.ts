/**
 * `npm run bench:studio`: the bars of the screens, measured in a real browser.
 * `-- --only wall,findings,phone [--pictures N --troubles N --kills N --seed N]`
 */
import { parseArgs } from 'node:util';
import { type BarRow, holds } from './studio/bar-row.js';
import { findingsBars } from './studio/findings.js';
import { phoneBars } from './studio/phone.js';
import { wallBars } from './studio/wall.js';

const { values } = parseArgs({
  options: {
    only: { type: 'string' },
    pictures: { type: 'string', default: '1000' },
    troubles: { type: 'string', default: '50' },
    kills: { type: 'string', default: '12' },
    seed: { type: 'string', default: '1' },
  },
});
const parts: Readonly<Record<string, () => Promise<readonly BarRow[]>>> = {
  wall: wallBars,
  findings: findingsBars,
  phone: () =>
    phoneBars({
      pictures: Number(values.pictures),
      troubles: Number(values.troubles),
      kills: Number(values.kills),
      seed: Number(values.seed),
    }),
};
const chosen = values.only?.split(',') ?? Object.keys(parts);
const rows: BarRow[] = [];
for (const name of chosen) {
  const measure = parts[name];
  if (!measure) throw new Error(`--only ${name}: choose from ${Object.keys(parts).join(', ')}`);
  rows.push(...(await measure()));
}
console.log(`\n${'measured'.padStart(12)}  ${'bar'.padStart(10)}  holds`);
for (const row of rows) {
  const bar = row.most !== undefined ? `≤ ${row.most}` : `≥ ${row.least}`;
  console.log(
    `${row.measured.toFixed(1).padStart(12)}  ${bar.padStart(10)}  ${holds(row) ? 'yes' : 'no '}    ${row.what}`,
  );
}
process.exitCode = rows.every(holds) ? 0 : 1;
