import { csvLine } from '#libs/csv';
import type { Ranking } from './rank-windows.js';

/** The ranked list for a spreadsheet (RFC 4180). Windows that nobody looked at follow after a blank line, without a rank. */
export function rankingCsv({ ranked, apart }: Ranking): string {
  const rows: (string | number)[][] = [
    [
      'rank',
      'window',
      'title',
      'urgency 0-3',
      'worst class 0-3',
      'panels in it',
      'panels',
      'panels not seen',
      'extent % of pieces',
      'bulge mm',
      'last survey',
      'next inspection',
    ],
    ...ranked.map((row, i) => [
      i + 1,
      row.mark,
      row.title,
      row.urgency ?? 'not said',
      row.conditionClass,
      row.inWorstClass,
      row.panels,
      row.unseen,
      row.extentRatio === null ? 'not known' : Math.round(row.extentRatio * 100),
      row.bulgeMm === null ? 'not read' : row.bulgeMm.toFixed(1),
      row.lastSurvey ?? '',
      row.nextInspection ?? '',
    ]),
    [],
    ...apart.map((row) => [
      'not seen',
      row.mark,
      row.title,
      'not said',
      [
        [row.notInspected, 'not inspected'],
        [row.notAccessible, 'not accessible'],
        [row.neverSaid, 'never said'],
      ]
        .filter(([count]) => count !== 0)
        .map(([count, words]) => `${count} ${words}`)
        .join(', '),
      '',
      row.panels,
      row.panels,
      'not known',
      '',
      row.lastSurvey ?? '',
      row.nextInspection ?? '',
    ]),
  ];
  return rows.map(csvLine).join('');
}
