/** A few of the trials of `npm run faults`, each kind once and more: nothing acknowledged is lost. */
import { KILLS, OTHER } from './trials/kinds.js';
import { runTrials } from './trials/run-trials.js';

it('kills under load lose nothing, double nothing and leave the history whole', async () => {
  const kinds = [...KILLS, ...OTHER];
  const rows = await runTrials({ trials: kinds.length + 4, seed: 1, kinds });
  const faults = rows.flatMap(({ lost, doubled, inconsistent, wrong }) => [
    ...lost,
    ...doubled,
    ...inconsistent,
    ...wrong,
  ]);
  expect(faults).toEqual([]);
  // else the strikes met no work and prove nothing
  expect(rows.reduce((sum, { atOnce }) => sum + atOnce, 0)).toBeGreaterThan(100);
}, 900_000);
