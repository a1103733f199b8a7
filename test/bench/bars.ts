/** The accuracy bars of the design for rubbings, and which of them a pooled result meets. */
import type { Pooled } from './score-table.js';

export type BarSet = 'clean and phone' | 'scans' | 'poor';

interface Bar {
  sentence: string;
  value: (p: Pooled) => number;
  atLeast?: number;
  atMost?: number;
}

const COMMON: readonly Bar[] = [
  { sentence: 'no case refused', value: (p) => p.refused, atMost: 0 },
  {
    sentence: 'lead position, mean of the worst case, mm',
    value: (p) => p.worstMeanMm,
    atMost: 0.4,
  },
  { sentence: 'lead position, p95 of the worst case, mm', value: (p) => p.worstP95Mm, atMost: 1 },
  { sentence: 'lead recall', value: (p) => p.leadRecall, atLeast: 0.98 },
  {
    sentence: 'length by width class, error of the worst class of the worst case, %',
    value: (p) => p.worstClassLengthPct,
    atMost: 1,
  },
  { sentence: 'joints, precision', value: (p) => p.jointPrecision, atLeast: 0.97 },
  {
    sentence: 'doubts: share of what is wrong that the list holds',
    value: (p) => p.doubtRecall,
    atLeast: 0.95,
  },
  {
    sentence: 'doubts: length of the list over what is wrong',
    value: (p) => p.doubtLength,
    atMost: 3,
  },
];

export const BARS: Record<BarSet, readonly Bar[]> = {
  'clean and phone': [
    { sentence: 'pieces, recall pooled', value: (p) => p.pieceRecall, atLeast: 0.99 },
    { sentence: 'pieces, precision pooled', value: (p) => p.piecePrecision, atLeast: 0.99 },
    { sentence: 'pieces, recall of the worst case', value: (p) => p.worstRecall, atLeast: 0.97 },
    {
      sentence: 'pieces, precision of the worst case',
      value: (p) => p.worstPrecision,
      atLeast: 0.97,
    },
    { sentence: 'adjacency F1', value: (p) => p.adjacencyF1, atLeast: 0.99 },
    { sentence: 'face width, mean error, mm', value: (p) => p.widthMm, atMost: 0.3 },
    ...COMMON,
  ],
  scans: [
    {
      sentence: 'lead position, mean of the worst scan, mm',
      value: (p) => p.worstMeanMm,
      atMost: 0.2,
    },
  ],
  poor: [
    { sentence: 'pieces, recall pooled', value: (p) => p.pieceRecall, atLeast: 0.95 },
    { sentence: 'pieces, precision pooled', value: (p) => p.piecePrecision, atLeast: 0.95 },
    { sentence: 'adjacency F1', value: (p) => p.adjacencyF1, atLeast: 0.95 },
    { sentence: 'face width, mean error, mm', value: (p) => p.widthMm, atMost: 0.4 },
    ...COMMON,
  ],
};

export function barLines(set: BarSet, pooled: Pooled): string[] {
  return BARS[set].map(({ sentence, value, atLeast, atMost }) => {
    const v = value(pooled);
    const met = atLeast === undefined ? v <= atMost! : v >= atLeast;
    const bar = atLeast === undefined ? `at most ${atMost}` : `at least ${atLeast}`;
    return `  ${met ? 'met    ' : 'NOT MET'}  ${sentence}: ${v.toFixed(3)} (${bar})`;
  });
}
