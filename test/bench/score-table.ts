/** Tables of scores, one row per case, with pooled figures below. */
import type { CaseOutcome } from './run-case.js';
import { BIN_EDGES } from './score/score-doubts.js';

const COLUMNS: readonly [string, (o: CaseOutcome) => string][] = [
  ['pieces', ({ score: s }) => `${s.pieces_result}/${s.pieces_truth}`],
  ['recall', (o) => fixed(o.score.piece_recall, 3)],
  ['prec', (o) => fixed(o.score.piece_precision, 3)],
  ['adj F1', (o) => fixed(o.score.adjacency_f1, 3)],
  ['lead R', (o) => fixed(o.score.lead_recall, 3)],
  ['lead P', (o) => fixed(o.score.lead_precision, 3)],
  ['mean mm', (o) => fixed(o.score.lead_pos_mean, 2)],
  ['p95 mm', (o) => fixed(o.score.lead_pos_p95, 2)],
  ['width mm', (o) => fixed(o.score.width_mae, 2)],
  ['joint R', (o) => fixed(o.score.junction_recall, 3)],
  ['joint P', (o) => fixed(o.score.junction_precision, 3)],
  ['class %', (o) => fixed(o.score.width_class_length_error_pct, 1)],
  ['length %', (o) => fixed(o.score.length_error_seen_pct, 1)],
  ['doubts', ({ doubts: d }) => `${d.covered}/${d.wrong + d.missing} in ${d.listed}`],
  ['s', (o) => fixed(o.seconds, 1)],
  ['cpu s', (o) => fixed(o.cpuSeconds, 1)],
  ['MiB', (o) => fixed(o.peakRssMib, 0)],
];

export function scoreTable(outcomes: readonly CaseOutcome[]): string[] {
  const names = Math.max(...outcomes.map((o) => o.name.length), 6);
  const widths = COLUMNS.map(([title, cell]) =>
    Math.max(title.length, ...outcomes.map((o) => cell(o).length)),
  );
  const row = (name: string, cells: readonly string[]): string =>
    [name.padEnd(names), ...cells.map((c, i) => c.padStart(widths[i]!))].join('  ');
  return [
    row(
      'case',
      COLUMNS.map(([title]) => title),
    ),
    ...outcomes.map((o) =>
      o.refusal === undefined
        ? row(
            o.name,
            COLUMNS.map(([, cell]) => cell(o)),
          )
        : `${o.name.padEnd(names)}  refused: ${o.refusal}`,
    ),
  ];
}

export interface Pooled {
  cases: number;
  refused: number;
  pieceRecall: number;
  piecePrecision: number;
  worstRecall: number;
  worstPrecision: number;
  adjacencyF1: number;
  leadRecall: number;
  leadMeanMm: number;
  worstMeanMm: number;
  worstP95Mm: number;
  widthMm: number;
  jointPrecision: number;
  worstClassLengthPct: number;
  doubtRecall: number;
  doubtLength: number;
}

/** Pieces pooled over all; other figures are means over cases, lead position and width weighted by samples. A refused case found nothing. */
export function pool(outcomes: readonly CaseOutcome[]): Pooled {
  const scores = outcomes.map((o) => o.score);
  const doubts = outcomes.map((o) => o.doubts);
  const sum = <T>(list: readonly T[], of: (item: T) => number): number =>
    list.reduce((s, item) => s + of(item), 0);
  const refused = outcomes.filter((o) => o.refusal !== undefined).length;
  const mean = (of: (s: (typeof scores)[number]) => number): number =>
    sum(scores, of) / outcomes.length;
  const wrong = sum(doubts, (d) => d.wrong + d.missing);
  const worst = (of: (s: (typeof scores)[number]) => number): number => Math.min(...scores.map(of));
  const listed = sum(doubts, (d) => d.listed);
  const leadSamples = sum(scores, (s) => s.lead_samples ?? 0);
  const widthSamples = sum(scores, (s) => s.width_samples ?? 0);
  return {
    cases: outcomes.length,
    refused,
    pieceRecall: sum(scores, (s) => s.pieces_hit) / sum(scores, (s) => s.pieces_required),
    piecePrecision: sum(scores, (s) => s.pieces_matched) / sum(scores, (s) => s.pieces_counted),
    worstRecall: worst((s) => s.piece_recall),
    worstPrecision: worst((s) => s.piece_precision),
    adjacencyF1: mean((s) => s.adjacency_f1 ?? 0),
    leadRecall: mean((s) => s.lead_recall),
    leadMeanMm: sum(scores, (s) => (s.lead_pos_mean ?? 0) * (s.lead_samples ?? 0)) / leadSamples,
    worstMeanMm: Math.max(...scores.map((s) => s.lead_pos_mean ?? 0)),
    worstP95Mm: Math.max(...scores.map((s) => s.lead_pos_p95 ?? 0)),
    widthMm: sum(scores, (s) => (s.width_mae ?? 0) * (s.width_samples ?? 0)) / widthSamples,
    jointPrecision: mean((s) => s.junction_precision),
    worstClassLengthPct: Math.max(...scores.map((s) => s.width_class_length_error_pct)),
    doubtRecall: wrong > 0 ? sum(doubts, (d) => d.covered) / wrong : 1,
    doubtLength: listed === 0 ? 0 : listed / wrong,
  };
}

/** Of leads called this sure, how many are right. */
export function confidenceTable(outcomes: readonly CaseOutcome[]): string[] {
  return BIN_EDGES.map((from, b) => {
    const bins = outcomes.map((o) => o.doubts.bins[b]!);
    const leads = bins.reduce((s, bin) => s + bin.leads, 0);
    const right = bins.reduce((s, bin) => s + bin.right, 0);
    const to = BIN_EDGES[b + 1] ?? 1;
    return `  ${from.toFixed(2)} to ${to.toFixed(2)}   ${String(leads).padStart(5)} leads   ${leads > 0 ? ((100 * right) / leads).toFixed(1) : '-'} % right`;
  });
}

function fixed(value: number | undefined, digits: number): string {
  return value === undefined ? '' : value.toFixed(digits);
}
