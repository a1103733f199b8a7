/** npm run bench:shards: every bar on shards, on the bundled tray and generated sets, in one table. See HELP. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { HELD_OUT_SETS, type ShardSetRecipe, TUNING_SETS } from './generator/shards/shard-sets.js';
import { barLines } from './rubbing/table.js';
import { shardBars, shardTable } from './shards/bars.js';
import { runShardSet, type ShardOutcome } from './shards/run-set.js';
import { setFolder } from './shards/set-folder.js';

const HELP = `npm run bench:shards -- [options]
  --set tuning|held-out   which generated sets; held-out when left out, with the bundled tray
  --only N,N              of these, the numbers named (and not the tray)
  --keep DIR              where generated sets are kept; the temporary folder when left out
  --report DIR            where table and figures are written; the temporary folder when left out
`;

const { values } = parseArgs({
  options: {
    set: { type: 'string', default: 'held-out' },
    only: { type: 'string' },
    keep: { type: 'string' },
    report: { type: 'string' },
    help: { type: 'boolean', default: false },
  },
});

if (values.help) process.stdout.write(HELP);
else await bench();

async function bench(): Promise<void> {
  const only = values.only?.split(',').map(Number);
  const isHeldOut = values.set !== 'tuning';
  const sets = (isHeldOut ? HELD_OUT_SETS : TUNING_SETS).filter(
    (r) => only?.includes(r.number) ?? true,
  );
  const report = values.report ?? join(tmpdir(), 'mullion-bench', 'shards-report');
  mkdirSync(report, { recursive: true });
  const outcomes: ShardOutcome[] = [];
  if (only === undefined) outcomes.push(await runShardSet('bundled tray', '12', fixture()));
  for (const recipe of sets) outcomes.push(await measured(recipe));
  const lines = [
    `On generated shards, ${isHeldOut ? 'sets held out while building' : 'sets looked at while building'}; seconds of processor time, one thread.`,
    '',
    ...shardTable(outcomes),
    '',
    ...barLines(shardBars(outcomes)),
  ];
  process.stdout.write(`${lines.join('\n')}\n`);
  writeFileSync(join(report, `table-${values.set}.txt`), `${lines.join('\n')}\n`);
  writeFileSync(join(report, `figures-${values.set}.json`), JSON.stringify(outcomes, null, 1));
}

async function measured(recipe: ShardSetRecipe): Promise<ShardOutcome> {
  const outcome = await runShardSet(
    `${recipe.kind} · ${recipe.number}`,
    recipe.kind,
    await setFolder(recipe, values.keep),
  );
  process.stderr.write(`${outcome.name}: ${outcome.score.right} of ${outcome.score.shards}\n`);
  return outcome;
}

function fixture(): string {
  return fileURLToPath(new URL('../../fixtures/shards', import.meta.url));
}
