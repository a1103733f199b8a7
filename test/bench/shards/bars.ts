/** The bars on shards: what is measured on each kind of set, the limit, and whether it holds. */
import type { Judged } from '../rubbing/bars.js';
import type { ShardOutcome } from './run-set.js';

const MOST_POSITION_MM = 0.7;
const WORST_SET = 0.85;
const MOST_SECONDS = 60;

/** Kind, which figure, mean over its sets at least. */
const KIND_BARS: readonly [string, 'rightRatio' | 'rightAreaRatio', number][] = [
  ['8', 'rightRatio', 1],
  ['14', 'rightRatio', 1],
  ['18 both faces', 'rightRatio', 0.95],
  ['26', 'rightRatio', 0.95],
  ['40', 'rightRatio', 0.95],
  ['60', 'rightAreaRatio', 0.95],
];
/** A set of these has no single shard to lose, or is judged by area. */
const worstOf = (o: ShardOutcome): number =>
  o.kind === '60' ? o.score.rightAreaRatio : o.score.rightRatio;

export function shardBars(outcomes: readonly ShardOutcome[]): Judged[] {
  const judged: Judged[] = [];
  for (const [kind, figure, limit] of KIND_BARS) {
    const sets = outcomes.filter((o) => o.kind === kind);
    if (sets.length === 0) continue;
    const name = figure === 'rightRatio' ? 'placed right' : 'placed right, by area';
    judged.push({
      // of the given shards; with all of them wanted every lost set counts
      bar: `${kind}: ${name}, mean of ${sets.length}`,
      value: sets.reduce((s, o) => s + o.score[figure], 0) / sets.length,
      limit,
      sense: 'at least',
      digits: 4,
    });
  }
  const most = (of: (o: ShardOutcome) => number): number => Math.max(...outcomes.map(of));
  const sixty = outcomes.filter((o) => o.kind === '60');
  judged.push(
    {
      bar: 'worst single set',
      value: Math.min(...outcomes.map(worstOf)),
      limit: WORST_SET,
      sense: 'at least',
      digits: 4,
    },
    {
      bar: 'mean position of right ones, worst set (mm)',
      value: most((o) => o.score.meanPositionMm),
      limit: MOST_POSITION_MM,
      sense: 'at most',
      digits: 3,
    },
    {
      bar: `wrong among the ${outcomes.reduce((s, o) => s + o.sure, 0)} called sure`,
      value: outcomes.reduce((s, o) => s + o.sureWrong, 0),
      limit: 0,
      sense: 'at most',
      digits: 0,
    },
  );
  if (sixty.length > 0) {
    judged.push({
      bar: '60: processor seconds, slowest set',
      value: Math.max(...sixty.map((o) => o.cpuSeconds)),
      limit: MOST_SECONDS,
      sense: 'at most',
      digits: 1,
    });
  }
  return judged;
}

const COLUMNS: readonly [string, (o: ShardOutcome) => string][] = [
  ['right', ({ score: s }) => `${s.right}/${s.shards}`],
  ['area %', ({ score: s }) => (100 * s.rightAreaRatio).toFixed(1)],
  ['wrong', ({ score: s }) => `${s.wrong.length}`],
  ['mm', ({ score: s }) => s.meanPositionMm.toFixed(3)],
  ['sure', (o) => `${o.sure}`],
  ['sure, wrong', (o) => `${o.sureWrong}`],
  ['adj F1', ({ score: s }) => s.adjacencyF1?.toFixed(3) ?? '-'],
  ['bond length', (o) => o.bondRatio.toFixed(3)],
  ['missing mm²', (o) => o.missingMm2.toFixed(0)],
  ['error', ({ score: s }) => s.missingAreaErrorMm2?.toFixed(0) ?? '-'],
  ['outline', (o) => (o.hasOutline ? 'yes' : 'no')],
  ['cpu s', (o) => o.cpuSeconds.toFixed(1)],
];

export function shardTable(outcomes: readonly ShardOutcome[]): string[] {
  const rows = [
    COLUMNS.map(([head]) => head),
    ...outcomes.map((o) => COLUMNS.map(([, cell]) => cell(o))),
  ];
  const widths = COLUMNS.map((_, i) => Math.max(...rows.map((r) => r[i]!.length)));
  const names = ['set', ...outcomes.map((o) => o.name)];
  const nameWidth = Math.max(...names.map((n) => n.length));
  return rows.map((cells, k) =>
    [names[k]!.padEnd(nameWidth), ...cells.map((c, i) => c.padStart(widths[i]!))].join('  '),
  );
}
