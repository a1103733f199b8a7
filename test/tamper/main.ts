/**
 * npm run tamper [-- COUNT]: bits turned over all through an archive, one at a time; then the forgers.
 * Prints a table; fails when one bit was not found, or not found where it was.
 */
import { randomStream } from '../bench/generator/random-stream.js';
import globalSetup from '../support/global-setup.mjs';
import globalTeardown from '../support/global-teardown.mjs';
import { flipTable, runFlips } from './run-flips.js';
import { startSampleArchive } from './sample-archive.js';

const COUNT = Number(process.argv[2] ?? 1000);
const SEED = process.argv[3] ?? 'tamper';

await globalSetup();
try {
  const archive = await startSampleArchive();
  const rows = await runFlips(archive, COUNT, randomStream(SEED), ({ name, tried, located }) => {
    process.stderr.write(`${name}: ${located} of ${tried}\n`);
  });
  console.log(flipTable(rows));
  for (const { name, misses } of rows) {
    for (const miss of misses) console.log(`MISSED  ${name}  ${miss}`);
  }
  if (rows.some((row) => row.misses.length > 0)) process.exitCode = 1;
  await archive.close();
} catch (cause) {
  console.error(cause);
  process.exitCode = 1;
} finally {
  await globalTeardown();
}
