/** The accuracy bars for rubbings, per case and pooled: what is measured, the limit, and whether it holds. */
import type { RubbingScore } from '../score/rubbing-result.js';
import type { WorkerOutcome } from './case-worker.js';

export type Quality = 'clean' | 'phone' | 'poor';

export interface NamedOutcome extends WorkerOutcome {
  name: string;
  quality: Quality;
}

export interface Judged {
  /** Column of the table, or sentence of a pooled row. */
  bar: string;
  value: number | undefined;
  limit: number;
  sense: 'at least' | 'at most';
  digits: number;
}

/** Unmeasured is not held. */
export function holds({ value, limit, sense }: Judged): boolean {
  if (value === undefined || Number.isNaN(value)) return false;
  return sense === 'at least' ? value >= limit : value <= limit;
}

const atLeast = (bar: string, value: number | undefined, limit: number, digits = 3): Judged => ({
  bar,
  value,
  limit,
  sense: 'at least',
  digits,
});
const atMost = (bar: string, value: number | undefined, limit: number, digits = 2): Judged => ({
  bar,
  value,
  limit,
  sense: 'at most',
  digits,
});

/** Bars on the drawing itself; also what must hold on every case when its doubts are answered. */
export function drawingBars(score: RubbingScore, quality: Quality): Judged[] {
  const isPoor = quality === 'poor';
  return [
    atLeast('piece R', score.piece_recall, isPoor ? 0.95 : 0.97),
    atLeast('piece P', score.piece_precision, isPoor ? 0.95 : 0.97),
    atLeast('adj F1', score.adjacency_f1, isPoor ? 0.95 : 0.99),
    atLeast('lead R', score.lead_recall, 0.98),
    atMost('mean mm', score.lead_pos_mean, quality === 'clean' ? 0.2 : 0.4),
    atMost('p95 mm', score.lead_pos_p95, 1),
    ...(score.width_samples === 0 ? [] : [atMost('face mm', score.width_mae, isPoor ? 0.4 : 0.3)]),
    atMost('class %', score.width_class_length_error_pct, 1, 1),
    atLeast('joint P', score.junction_precision, 0.97),
  ];
}

/** All bars of one case. */
export function caseBars(o: NamedOutcome): Judged[] {
  const after = drawingBars(o.answered, o.quality);
  return [
    ...drawingBars(o.score, o.quality),
    atMost('answered: rows that fail', after.filter((j) => !holds(j)).length, 0, 0),
    ...(o.repeat
      ? [
          atMost('again: numbers changed', o.repeat.numbersChanged, 0, 0),
          atMost('again: lead moved mm', o.repeat.shiftMm, 0.2),
        ]
      : []),
  ];
}

const sum = <T>(list: readonly T[], of: (item: T) => number): number =>
  list.reduce((s, item) => s + of(item), 0);

/** Bars over all cases together. A refused case found nothing. */
export function pooledBars(outcomes: readonly NamedOutcome[]): Judged[] {
  const good = outcomes.filter((o) => o.quality !== 'poor');
  const poor = outcomes.filter((o) => o.quality === 'poor');
  const recall = (list: readonly NamedOutcome[]) =>
    sum(list, (o) => o.score.pieces_hit) / sum(list, (o) => o.score.pieces_required);
  const precision = (list: readonly NamedOutcome[]) =>
    sum(list, (o) => o.score.pieces_matched) / sum(list, (o) => o.score.pieces_counted);
  const adjacency = (list: readonly NamedOutcome[]) =>
    sum(list, (o) => o.score.adjacency_f1 ?? 0) / list.length;
  const faults = sum(outcomes, ({ doubts: d }) => d.wrong + d.missing + d.pieces);
  const listed = sum(outcomes, ({ doubts: d }) => d.listed - d.unseen);
  const sure = outcomes.flatMap((o) => o.doubts.bins.filter((b) => b.from >= 0.95));
  const after = outcomes.filter((o) => drawingBars(o.answered, o.quality).every(holds)).length;
  return [
    atMost('cases refused', outcomes.filter((o) => o.refusal !== undefined).length, 0, 0),
    ...(good.length === 0
      ? []
      : [
          atLeast('pieces found, clean and phone', recall(good), 0.99, 4),
          atLeast('pieces right, clean and phone', precision(good), 0.99, 4),
          atLeast('adjacency F1, clean and phone', adjacency(good), 0.99, 4),
        ]),
    ...(poor.length === 0
      ? []
      : [
          atLeast('pieces found, poor', recall(poor), 0.95, 4),
          atLeast('pieces right, poor', precision(poor), 0.95, 4),
          atLeast('adjacency F1, poor', adjacency(poor), 0.95, 4),
        ]),
    atLeast(
      'doubts: share of wrong and missing on the list',
      faults === 0 ? 1 : sum(outcomes, ({ doubts: d }) => d.covered) / faults,
      0.95,
    ),
    atMost(
      'doubts: length of the list over wrong and missing',
      listed === 0 ? 0 : listed / faults,
      3,
    ),
    atLeast('doubts answered: share of cases where every row holds', after / outcomes.length, 1),
    atLeast(
      'leads called 95 % sure or more: share that is right',
      sum(sure, (b) => b.right) / sum(sure, (b) => b.leads),
      0.95,
      4,
    ),
    atLeast(
      'leads behind that figure',
      sum(sure, (b) => b.leads),
      2000,
      0,
    ),
  ];
}
