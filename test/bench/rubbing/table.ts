/** The one table: a row a case, a column a bar; then the bars that hold over all cases together. */
import { caseBars, holds, type Judged, type NamedOutcome } from './bars.js';

/** Held, not held, nothing to measure. */
const MARK = (judged: Judged | undefined): string =>
  judged === undefined ? ' ' : holds(judged) ? '✓' : '✗';

const figure = ({ value, digits }: Judged): string =>
  value === undefined || Number.isNaN(value) ? '-' : value.toFixed(digits);

const COLUMNS = [
  'piece R',
  'piece P',
  'adj F1',
  'lead R',
  'mean mm',
  'p95 mm',
  'face mm',
  'class %',
  'joint P',
  'answered: rows that fail',
  'again: numbers changed',
  'again: lead moved mm',
];
const HEADS = [...COLUMNS.slice(0, 9), 'answered', 'again no.', 'again mm'];

/** What is printed beside the bars: pieces, faults covered by the list, time and room. */
const BESIDE: readonly [string, (o: NamedOutcome) => string][] = [
  ['pieces', ({ score: s }) => `${s.pieces_result}/${s.pieces_truth}`],
  [
    'doubts',
    ({ doubts: d }) => `${d.covered}/${d.wrong + d.missing + d.pieces} in ${d.listed - d.unseen}`,
  ],
  ['cpu s', (o) => o.cpuSeconds?.toFixed(1) ?? ''],
  ['MP', (o) => o.megapixels?.toFixed(1) ?? ''],
  ['MiB', (o) => o.peakRssMib?.toFixed(0) ?? ''],
];

export function caseTable(outcomes: readonly NamedOutcome[]): string[] {
  const rows = outcomes.map((o) => {
    const judged = new Map(caseBars(o).map((j) => [j.bar, j]));
    const cells = COLUMNS.map((bar) => {
      const j = judged.get(bar);
      return j === undefined ? '' : `${figure(j)} ${MARK(j)}`;
    });
    return { o, cells: [...cells, ...BESIDE.map(([, cell]) => cell(o))] };
  });
  const heads = [...HEADS, ...BESIDE.map(([head]) => head)];
  const widths = heads.map((head, i) =>
    Math.max(head.length, ...rows.map((r) => r.cells[i]!.length)),
  );
  const names = Math.max(4, ...outcomes.map((o) => o.name.length));
  const line = (name: string, cells: readonly string[]): string =>
    [name.padEnd(names), ...cells.map((c, i) => c.padStart(widths[i]!))].join('  ').trimEnd();
  return [
    line('case', heads),
    line('bar', [
      '≥.97/.95',
      '≥.97/.95',
      '≥.99/.95',
      '≥.98',
      '≤.4, scan .2',
      '≤1',
      '≤.3/.4',
      '≤1',
      '≥.97',
      '0 rows',
      '0',
      '≤.2',
    ]),
    ...rows.map(({ o, cells }) =>
      o.refusal === undefined
        ? line(o.name, cells)
        : `${o.name.padEnd(names)}  ✗ refused: ${o.refusal}`,
    ),
  ];
}

export function barLines(judged: readonly Judged[]): string[] {
  const names = Math.max(...judged.map((j) => j.bar.length));
  return judged.map(
    (j) =>
      `${MARK(j)}  ${j.bar.padEnd(names)}  ${figure(j).padStart(9)}  ${j.sense} ${j.limit
        .toFixed(j.digits)
        .replace(/(\.\d*?)0+$/, '$1')
        .replace(/\.$/, '')}`,
  );
}

/** How many bars hold: one for each figure of each case, and the pooled ones. */
export function countLine(outcomes: readonly NamedOutcome[], pooled: readonly Judged[]): string {
  const each = outcomes.flatMap((o) =>
    o.refusal === undefined ? caseBars(o) : caseBars(o).map((j) => ({ ...j, value: undefined })),
  );
  const [a, b] = [each.filter(holds).length, pooled.filter(holds).length];
  return `${a} of ${each.length} bars of single cases hold, ${b} of ${pooled.length} over all of them`;
}
