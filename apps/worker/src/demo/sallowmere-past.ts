/**
 * What the demo tells of earlier years: surveys, works and findings on the windows of the invented
 * chapel. Every class follows from the place of the panel, so that the same demo comes out each time.
 */
import type { ConditionClass } from '#libs/vocabulary';

export interface PastWork {
  readonly key: string;
  readonly operation: string;
  readonly subjects: readonly string[];
  readonly happened: string;
  readonly byText?: string;
  readonly byRole?: string;
  readonly evidence?: string;
  readonly note?: string;
}

const LIGHTS = ['a', 'b', 'c', 'd'];

const rowsOf = (from: number, to: number): string[] =>
  Array.from({ length: to - from + 1 }, (_, i) => from + i).flatMap((row) =>
    LIGHTS.map((letter) => `wI.${row}${letter}`),
  );

export const PAST_WORK: readonly PastWork[] = [
  {
    key: 'west-lower-1893',
    operation: 'relead.part',
    subjects: rowsOf(1, 9),
    happened: '189X',
    byText: 'not known',
    evidence: 'milled came of one pattern in the lower nine rows, another above',
    note: 'The lower rows were releaded after a flood.',
  },
  {
    key: 'east-1931',
    operation: 'relead.whole',
    subjects: ['I'],
    happened: '1931~',
    byText: 'not known; the parish accounts name only the price',
    evidence: 'entry in the parish accounts for 1931',
  },
  {
    key: 'west-iron-1958',
    operation: 'iron.treat',
    subjects: ['wI'],
    happened: '1958-06/1958-09',
    byText: 'a smith of the harbour',
    evidence: 'bill in the parish chest',
    note: 'Saddle bars taken out, cleaned and painted.',
  },
  {
    key: 'west-bond-1987',
    operation: 'bond.epoxy',
    subjects: ['wI.12b', 'wI.13b', 'wI.13c', 'wI.14c'],
    happened: '1987',
    byText: 'named in the report as the studio of the time',
    evidence: 'report of 1987, page 3',
  },
  {
    key: 'west-infill-1987',
    operation: 'infill.glass',
    subjects: ['wI.4a', 'wI.5a', 'wI.5d'],
    happened: '1987',
    evidence: 'report of 1987, page 5',
    note: 'Panes broken by boys with stones, made good in plain glass.',
  },
  {
    key: 'west-paint-2009',
    operation: 'repaint.cold',
    subjects: ['wI.18a', 'wI.18b', 'wI.19a'],
    happened: '2009?',
    evidence: 'cold paint over old losses, thin and even; no record was found',
  },
  {
    key: 'nave-putty-2014',
    operation: 'came.dress',
    subjects: ['nII'],
    happened: '2014-05',
    byRole: 'Glazier',
    note: 'Leads dressed down and cemented in place.',
  },
  {
    key: 'sii-glaze-1946',
    operation: 'infill.glass',
    subjects: ['sII.3a', 'sII.3b'],
    happened: '1946/1951~',
    byText: 'a glazier who came with the boat, says the log of the ferry',
    evidence: 'log of the ferry, undated page between 1946 and 1951',
    note: 'Plain glass in the canopies after a winter storm.',
  },
  {
    key: 'west-edge-1972',
    operation: 'bond.silicone',
    subjects: ['wI.2c'],
    happened: '197X',
    evidence: 'clear rubbery bond along one break; no paper tells of it',
  },
];

export interface PastClass {
  /** panel's mark */
  readonly mark: string;
  readonly conditionClass: ConditionClass;
  readonly reason: string;
  readonly happened: string;
}

const REASONS: Readonly<Record<ConditionClass, string>> = {
  0: 'Leads firm, glass whole, paint sound under the glass.',
  1: 'Some leaves lifted; a little dirt at the foot.',
  2: 'Ties loose, cement gone in places, water comes in.',
  3: 'Bulges, broken leads; glass moves when touched.',
  'not-inspected': 'Not on the list of this survey.',
  'not-accessible': 'The scaffold ended below it.',
};

/** Visits to the west window: what each was for, and how far it reached. */
export const WEST_VISITS = [
  {
    purpose: 'what the keepers should save for',
    access: 'short scaffold, to the eighteenth row',
    method: 'by eye and by touch',
    notReached: 'Rows above the eighteenth and the tracery.',
    happened: '2019-05',
  },
  {
    purpose: 'before the campaign',
    access: 'scaffold over the whole window',
    method: 'by eye, by touch, string line on what stands out',
    weather: 'wind from the river, dry',
    nextInspection: '2031-03',
    happened: '2026-03-12',
  },
  {
    purpose: 'row 28 at the bench, before it goes back',
    access: 'on the light table',
    nextInspection: '2027-03',
    happened: '2026-09-30',
  },
] as const;

/** What two surveys said of a panel of the west window: one from a short scaffold, one from a whole. */
export function westClasses(mark: string): readonly PastClass[] {
  const said = (conditionClass: ConditionClass, happened: string): PastClass => ({
    mark,
    conditionClass,
    reason: REASONS[conditionClass],
    happened,
  });
  const [, rowText = '', letter = ''] = /^(\d+)([a-d])$/.exec(mark) ?? [];
  const row = Number(rowText);
  if (rowText === '')
    return [said('not-accessible', '2019-05'), said(/^[A-C]/.test(mark) ? 2 : 1, '2026-03-12')];
  const column = letter.charCodeAt(0) - 97;
  const weather = (row * 5 + column * 3) % 7;
  // The foot takes the spray, the head the wind.
  const base = row <= 6 ? 2 : row >= 22 ? 2 : 1;
  const then = Math.min(2, Math.max(0, base - 1 + (weather > 4 ? 1 : 0))) as ConditionClass;
  const now = Math.min(3, base + (weather > 3 ? 1 : 0) - (weather === 0 ? 1 : 0)) as ConditionClass;
  const early =
    row > 18
      ? said('not-accessible', '2019-05')
      : row === 11
        ? said('not-inspected', '2019-05')
        : said(then, '2019-05');
  const late = row > 9 && row < 13 && column > 1 ? [] : [said(now, '2026-03-12')];
  const after = row === 28 ? [said(0, '2026-09-30')] : [];
  return [early, ...late, ...after];
}

export interface PastFinding {
  readonly mark: string;
  readonly key: string;
  readonly term: string;
  readonly kind: 'line' | 'area';
  /** shares of the panel's width and height */
  readonly at: readonly (readonly [number, number])[];
  readonly happened: string;
}

const patch = (x: number, y: number, side: number) =>
  [
    [x, y],
    [x + side, y],
    [x + side, y + side],
    [x, y + side],
  ] as const;

/** Findings of the surveys on a panel of the west window; most panels have none. */
export function westFindings(mark: string): readonly PastFinding[] {
  const [, rowText = '', letter = ''] = /^(\d+)([a-d])$/.exec(mark) ?? [];
  const row = Number(rowText);
  const column = letter.charCodeAt(0) - 97;
  if (rowText === '') return [];
  const turn = (row * 11 + column * 5) % 10;
  const found: PastFinding[] = [];
  const add = (term: string, kind: 'line' | 'area', happened: string) => {
    const [x, y] = [0.15 + 0.05 * turn, 0.2 + 0.04 * column];
    const at =
      kind === 'area'
        ? patch(x, y, 0.12)
        : ([
            [x, y],
            [x + 0.1, y + 0.14],
            [x + 0.12, y + 0.22],
          ] as const);
    found.push({ mark, key: `${term}-${happened}`, term, kind, at, happened });
  };
  if (row <= 18 && turn < 3) add('paint.loss', 'area', '2019-05-14');
  if (turn === 4 || turn === 8) add('glass.crack.simple', 'line', '2026-03-12');
  if (row <= 6 && turn > 5) add('glass.crust', 'area', '2026-03-12');
  if (row >= 20 && turn > 6) add('paint.flaking', 'area', '2026-03-13');
  return found;
}

/** What glass the pieces of a drawn panel are, by their order; null for those that nobody described. */
export function glassOf(index: number): string | null {
  const kinds = ['white, painted', 'pot metal, blue', 'white, painted', 'flashed ruby', null];
  return kinds[index % kinds.length] ?? null;
}
