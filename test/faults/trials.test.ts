/** A few of the trials of `npm run faults`, each kind once and more: nothing acknowledged is lost. */
import { KILLS, OTHER } from './trials/kinds.js';
import { ADMIN } from './trials/kinds-admin.js';
import { runTrials } from './trials/run-trials.js';
import { FAULTS, type KindResult } from './trials/tally.js';

const faultsOf = (rows: readonly KindResult[]) =>
  rows.flatMap((row) => FAULTS.flatMap((word) => row[word]));

it('kills under load lose nothing, double nothing and leave the history whole', async () => {
  const kinds = [...KILLS, ...OTHER];
  const rows = await runTrials({ trials: kinds.length + 4, seed: 1, kinds });
  expect(faultsOf(rows)).toEqual([]);
  // else the strikes met no work and prove nothing
  expect(rows.reduce((sum, { atOnce }) => sum + atOnce, 0)).toBeGreaterThan(100);
}, 900_000);

it('what an administrator does, killed in the middle, comes to its end when it is done again', async () => {
  const rows = await runTrials({ trials: ADMIN.length, seed: 2, kinds: ADMIN });
  expect(faultsOf(rows)).toEqual([]);
}, 900_000);
