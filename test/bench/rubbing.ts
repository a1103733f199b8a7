/**
 * npm run bench:rubbing: every rubbing bar on the three bundled samples and the held-out generated rubbings,
 * in one table. See HELP.
 */
import { mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { peerPython } from '../conformance/python-tools.js';
import { caseName, HELD_OUT_CASES, TUNING_CASES } from './generator/cases.js';
import type { CaseRecipe } from './generator/recipe.js';
import { GENERATOR_VERSION } from './generator/write-case.js';
import { keptFolder } from './kept-folder.js';
import { kernelBars } from './kernels.js';
import { type NamedOutcome, pooledBars, type Quality } from './rubbing/bars.js';
import { costBars } from './rubbing/cost.js';
import { inProcess, inTurns } from './rubbing/processes.js';
import { reliabilityBins, reliabilityLines, reliabilitySvg } from './rubbing/reliability.js';
import { barLines, caseTable, countLine } from './rubbing/table.js';

const HELP = `npm run bench:rubbing -- [options]
  --set samples|held-out|tuning   which cases; samples and held-out together when left out
  --only N,N                      of these, the numbers named (and no sample)
  --quick                         no second reading, no peers, no cost: for a look while adjusting
  --keep DIR                      where generated cases are kept; the temporary folder when left out
  --report DIR                    where table, figures and the reliability diagram are written
`;
/** Cases that the ordinary pipeline reads too: whole pictures, marks at known places, plain wax. */
const BESIDE_THE_ORDINARY = new Set([101, 102, 106, 107, 111, 112]);
const COST_CASE = 107;
const AT_A_TIME = 2;

const { values } = parseArgs({
  options: {
    set: { type: 'string' },
    only: { type: 'string' },
    quick: { type: 'boolean', default: false },
    keep: { type: 'string' },
    report: { type: 'string' },
    help: { type: 'boolean', default: false },
  },
});

interface Case {
  name: string;
  quality: Quality;
  folder: string;
  recipe?: CaseRecipe;
  besideOrdinary: boolean;
}

if (values.help) process.stdout.write(HELP);
else await bench();

function casesWished(): Case[] {
  const only = values.only?.split(',').map(Number);
  const generated = values.set === 'tuning' ? TUNING_CASES : HELD_OUT_CASES;
  const recipes = values.set === 'samples' ? [] : generated;
  const samples = values.set === undefined || values.set === 'samples' ? bundled() : [];
  return [
    ...(only ? [] : samples),
    ...recipes
      .filter((r) => only?.includes(r.number) ?? true)
      .map((recipe) => ({
        name: caseName(recipe),
        quality: recipe.quality,
        folder: keptFolder(caseName(recipe), [GENERATOR_VERSION, recipe], values.keep),
        recipe,
        besideOrdinary: BESIDE_THE_ORDINARY.has(recipe.number),
      })),
  ];
}

/** Named by difficulty: easy is a scan, medium a photograph from a phone, hard a poor one. */
function bundled(): Case[] {
  const root = fileURLToPath(new URL('../../fixtures/rubbings', import.meta.url));
  const quality = { easy: 'clean', medium: 'phone', hard: 'poor' } as const;
  return readdirSync(root, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map(({ name }) => ({
      name,
      quality: quality[name as keyof typeof quality],
      folder: join(root, name),
      besideOrdinary: true,
    }));
}

async function bench(): Promise<void> {
  const started = performance.now();
  const cases = casesWished();
  const python = values.quick ? undefined : peerPython();
  const outcomes = await inTurns(cases, AT_A_TIME, async (one): Promise<NamedOutcome> => {
    const outcome = await inProcess({
      folder: one.folder,
      ...(one.recipe ? { recipe: one.recipe } : {}),
      repeat: !values.quick,
      ...(one.besideOrdinary && python !== undefined ? { python } : {}),
    });
    process.stderr.write(`${one.name}\n`);
    return { ...outcome, name: one.name, quality: one.quality };
  });
  const lines: string[] = ['On generated rubbings.', '', ...caseTable(outcomes), ''];
  const pooled = pooledBars(outcomes);
  const costCase = cases.find((c) => c.recipe?.number === COST_CASE) ?? cases[0]!;
  if (python !== undefined) {
    pooled.push(...(await costBars(costCase.folder)), ...(await kernelBars(python)));
  }
  lines.push('over all cases', ...barLines(pooled), '');
  const bins = reliabilityBins(outcomes);
  lines.push('leads by how sure the program is of them', ...reliabilityLines(bins), '');
  lines.push(...ordinaryLines(outcomes));
  lines.push(countLine(outcomes, pooled));
  lines.push(`${cases.length} cases in ${((performance.now() - started) / 60_000).toFixed(1)} min`);
  process.stdout.write(`${lines.join('\n')}\n`);
  const report = values.report ?? join(tmpdir(), 'mullion-bench', 'report');
  mkdirSync(report, { recursive: true });
  writeFileSync(join(report, 'table.txt'), `${lines.join('\n')}\n`);
  writeFileSync(join(report, 'figures.json'), JSON.stringify(outcomes, null, 1));
  writeFileSync(join(report, 'reliability.svg'), reliabilitySvg(bins));
  process.stderr.write(`written to ${report}\n`);
}

/** Ours beside threshold, close, skeleton and watershed with scikit-image: same case, same run, one core. */
function ordinaryLines(outcomes: readonly NamedOutcome[]): string[] {
  const both = outcomes.filter((o) => o.ordinary !== undefined && o.refusal === undefined);
  if (both.length === 0) return [];
  const cell = (value: number | undefined, digits: number): string =>
    (value === undefined ? '-' : value.toFixed(digits)).padStart(7);
  const row = (o: NamedOutcome): string => {
    const [a, b] = [o.score, o.ordinary!.score];
    const pair = (of: (s: typeof a) => number | undefined, digits: number): string =>
      `${cell(of(a), digits)} ${cell(of(b), digits)}`;
    const ratio = o.cpuSeconds! / o.ordinary!.cpuSeconds!;
    return [
      o.name.padEnd(24),
      pair((s) => s.piece_recall, 3),
      pair((s) => s.piece_precision, 3),
      pair((s) => s.adjacency_f1, 3),
      pair((s) => s.lead_pos_mean, 2),
      pair((s) => s.lead_pos_p95, 2),
      pair((s) => s.width_mae, 2),
      cell(ratio, 2),
    ].join('  ');
  };
  const head = (text: string): string => text.padStart(15);
  return [
    'ours and an ordinary scikit-image pipeline, and our time over its time (one core each)',
    [
      'case'.padEnd(24),
      ...['piece R', 'piece P', 'adj F1', 'mean mm', 'p95 mm', 'face mm'].map(head),
      'time'.padStart(7),
    ].join('  '),
    ...both.map(row),
    '',
  ];
}
