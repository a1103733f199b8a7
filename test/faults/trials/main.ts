/**
 * npm run faults [-- --trials N --seed N]: kill -9 at random points under load, and nothing acknowledged
 * is lost. A trial is run again by `--seed` of its line and `--trials 1`.
 */
import { parseArgs } from 'node:util';
import { diskKinds, KILLS, lineKinds, OTHER } from './kinds.js';
import { ADMIN } from './kinds-admin.js';
import { runTrials } from './run-trials.js';
import { mountSmallDisk } from './small-disk.js';
import { startStore } from './store.js';
import { faultLines, type KindResult, tableOf } from './tally.js';

const { values } = parseArgs({
  options: {
    trials: { type: 'string', default: '500' },
    seed: { type: 'string', default: String(Date.now() % 1_000_000) },
    only: { type: 'string', multiple: true, default: [] },
  },
});
const trials = Number(values.trials);
const seed = Number(values.seed);
const isWanted = (group: string) => values.only.length === 0 || values.only.includes(group);
const onTrial = (line: string) => {
  console.log(line);
};

const began = performance.now();
const rows: KindResult[] = [];
if (isWanted('kills')) {
  rows.push(
    ...(await runTrials({ trials: part(0.7), seed, kinds: [...KILLS, ...OTHER], onTrial })),
  );
}
if (isWanted('admin')) {
  rows.push(...(await runTrials({ trials: part(0.1), seed, kinds: ADMIN, onTrial })));
}
if (isWanted('disk')) {
  const disk = mountSmallDisk(700);
  try {
    const kinds = diskKinds(disk);
    rows.push(
      ...(await runTrials({ trials: part(0.06), seed, kinds, inFolder: disk.path, onTrial })),
    );
  } finally {
    disk.unmount();
  }
}
if (isWanted('store')) {
  const store = await startStore();
  try {
    const kinds = lineKinds(store.proxy);
    rows.push(...(await runTrials({ trials: part(0.14), seed, kinds, env: store.env, onTrial })));
  } finally {
    await store.stop();
  }
}
console.table(tableOf(rows));
for (const line of faultLines(rows)) {
  console.log(line);
  process.exitCode = 1;
}
console.log(`${((performance.now() - began) / 60_000).toFixed(1)} minutes, seed ${seed}`);

/** Of all trials, or all of them where one group alone is wanted. */
function part(share: number): number {
  return values.only.length === 1 ? trials : Math.max(1, Math.round(trials * share));
}
