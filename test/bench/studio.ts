/** `npm run bench:studio [-- --only wall]`: the bars of the screens, measured in a real browser. */
import { parseArgs } from 'node:util';
import { type BarRow, holds } from './studio/bar-row.js';
import { wallBars } from './studio/wall.js';

const parts: Readonly<Record<string, () => Promise<readonly BarRow[]>>> = { wall: wallBars };

const { values } = parseArgs({ options: { only: { type: 'string' } } });
const chosen = values.only?.split(',') ?? Object.keys(parts);
const rows: BarRow[] = [];
for (const name of chosen) {
  const measure = parts[name];
  if (!measure)
    throw new Error(`--only takes ${Object.keys(parts).join(', ')}; it was given ${name}`);
  rows.push(...(await measure()));
}
console.log(`\n${'measured'.padStart(12)}  ${'bar'.padStart(10)}  holds`);
for (const row of rows) {
  const bar = row.most !== undefined ? `≤ ${row.most}` : `≥ ${row.least}`;
  console.log(
    `${row.measured.toFixed(1).padStart(12)}  ${bar.padStart(10)}  ${holds(row) ? 'yes' : 'no '}    ${row.what}`,
  );
}
