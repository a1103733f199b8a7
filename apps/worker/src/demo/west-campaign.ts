/** The campaign on the west window, as the demo tells it: what was asked, agreed, done and moved, day by day. */

const LIGHTS = ['a', 'b', 'c', 'd'];

/** Marks of whole rows, in the window: 28a … */
export const rowMarks = (from: number, to: number): string[] =>
  Array.from({ length: to - from + 1 }, (_, i) => to - i).flatMap((row) =>
    LIGHTS.map((letter) => `${row}${letter}`),
  );

const tracery = (row: string, count: number) =>
  Array.from({ length: count }, (_, i) => `${row}${i + 1}`);

const LOW_TRACERY = [...tracery('A', 9), ...tracery('B', 8), ...tracery('C', 7)];
const HIGH_TRACERY = [
  ...tracery('D', 6),
  ...tracery('E', 5),
  ...tracery('F', 2),
  ...tracery('G', 1),
];

const stated = {
  facing: { state: 'faced', how: 'Japanese tissue over the flaking line, methyl cellulose' },
  support: 'boarded on both faces, felt between',
  tag: { on: 'lead', upArrow: true, face: 'inside' },
};

/** Days on which panels came out, from the top down. */
export const REMOVALS = [
  { happened: '2026-04-02', panels: HIGH_TRACERY, ...stated },
  { happened: '2026-04-14', panels: LOW_TRACERY, ...stated },
  { happened: '2026-04-20', panels: rowMarks(28, 28), ...stated },
  { happened: '2026-04-21', panels: rowMarks(27, 27), ...stated },
  { happened: '2026-05-05', panels: rowMarks(21, 26), ...stated },
] as const;

/** Back in their openings, from the bottom up. */
export const REFIXED = {
  happened: '2026-10-06',
  panels: ['F1', 'F2', 'G1'],
  ties: { count: 4, material: 'copper' },
  pointing: { with: 'lime mortar', batch: 'mixed on the scaffold' },
  note: 'Looked at from the floor in rain on the day after: dry.',
} as const;

export const PROTECTION = {
  panels: rowMarks(21, 28),
  by: 'temporary-glazing',
  how: 'sheets in the groove with a gap above the sill, wedged, not screwed',
  checkedByRole: 'glazier',
  happened: '2026-05-06',
} as const;

export const CAMPAIGN = {
  title: 'West window, upper rows and tracery',
  scope: ['wI'],
  note: 'The lower rows wait until the money is there.',
  happened: '2026-02-02',
} as const;

export const PROPOSAL = {
  title: 'West window, rows 21 to 28 and the tracery',
  lines: [
    {
      subjects: ['wI'],
      need: 'Ties have let go over the upper rows, panels stand out of their plane, paint flakes.',
      options: [
        {
          what: 'Leave it and look again in two years',
          operations: [],
          speaksFor: 'Nothing is moved.',
          speaksAgainst: 'Two panels came further out since 2019 than the readings can err.',
        },
        {
          what: 'Take out, clean dry, consolidate what flakes, re-lead where leaves are broken, cement',
          operations: ['clean.dry', 'secure.consolidate', 'bond.epoxy', 'relead.part', 'cement'],
          speaksFor: 'Glass and paint stay; most of the lead stays.',
          speaksAgainst: 'Panels are away for a summer.',
        },
        {
          what: 'Take out and re-lead whole',
          operations: ['clean.dry', 'secure.consolidate', 'relead.whole', 'cement'],
          speaksAgainst: 'The came of the 1890s would go where it still holds.',
        },
      ],
      chosen: 1,
      why: 'The lead holds but for its outer leaves and the ties; what holds is kept.',
      materials: ['acrylic resin in solution', 'two-part epoxy', 'lead came', 'linseed oil putty'],
      where: 'taken-out',
    },
  ],
} as const;

export const CONSENT = {
  decision: 'given',
  by: 'The warden of the landing',
  forWhom: 'keepers of Sallowmere Chapel',
  happened: '2026-03-20',
  expires: '2028-03',
  conditions: [
    { text: 'Paint is tested panel by panel before anything is wiped.', due: 'before-work' },
    { text: 'The keepers see two panels at the bench before they go back.', due: 'before-close' },
  ],
} as const;

const likely = (low: number, value: number, high: number) => ({ low, likely: value, high });
const line = (
  what: string,
  unit: string,
  quantity: ReturnType<typeof likely>,
  minutes: readonly [number, number, number],
  pricePerUnit: string,
) => ({ what, unit, quantity, minutesPerUnit: likely(...minutes), pricePerUnit });

const terms = { currency: 'EUR', perHour: '58', contingencyRatio: '0.12' };
type Line = ReturnType<typeof line>;
/** Two ways side by side that differ in the leading alone, which comes before the cement. */
const ways = (both: readonly Line[], inPart: Line, whole: Line, cement: Line) => [
  { name: 'clean, mend and re-lead in parts', lines: [...both, inPart, cement] },
  { name: 're-lead whole', lines: [...both, whole, cement] },
];

/** The first from areas, the second once panels lay on the bench. */
export const ESTIMATES = [
  {
    title: 'Upper rows and tracery, before the scaffold',
    stage: 'first',
    terms,
    alternatives: ways(
      [
        line('take out and put back', 'panel', likely(66, 70, 74), [40, 60, 90], '3.20'),
        line('clean dry', 'panel', likely(66, 70, 74), [35, 60, 110], '1.10'),
        line('consolidate paint', 'panel', likely(8, 14, 24), [60, 120, 240], '6.40'),
      ],
      line('re-lead in part', 'panel', likely(12, 20, 34), [180, 300, 480], '24.00'),
      line('re-lead whole', 'panel', likely(66, 70, 74), [420, 600, 900], '61.50'),
      line('cement', 'panel', likely(66, 70, 74), [25, 40, 60], '2.75'),
    ),
    chosen: 0,
  },
  {
    title: 'Upper rows and tracery, from the bench',
    stage: 'second',
    terms,
    alternatives: ways(
      [
        line('take out and put back', 'panel', likely(70, 70, 70), [45, 55, 75], '3.20'),
        line('clean dry', 'panel', likely(70, 70, 70), [40, 65, 100], '1.10'),
        line('consolidate paint', 'panel', likely(16, 18, 22), [90, 130, 200], '6.40'),
      ],
      line('re-lead in part', 'panel', likely(24, 28, 34), [200, 290, 420], '24.00'),
      line('re-lead whole', 'panel', likely(70, 70, 70), [430, 590, 820], '61.50'),
      line('cement', 'panel', likely(70, 70, 70), [25, 40, 60], '2.75'),
    ),
    chosen: 0,
  },
] as const;

export const MATERIALS = [
  {
    key: 'resin',
    name: 'acrylic resin in solution',
    batch: 'R-114',
    expires: '2027-06',
    unit: 'ml',
    quantity: '500',
    kept: 'solvent cupboard',
  },
  {
    key: 'epoxy',
    name: 'two-part epoxy',
    batch: '2291',
    expires: '2026-12',
    unit: 'g',
    quantity: '50',
    kept: 'cold shelf',
  },
  {
    key: 'came',
    name: 'lead came, round 6 mm',
    batch: 'drawn 2025-11',
    unit: 'm',
    quantity: '120',
    kept: 'lead rack',
  },
  {
    key: 'putty',
    name: 'linseed oil putty',
    batch: '7',
    expires: '2027',
    unit: 'kg',
    quantity: '25',
    kept: 'under the cementing bench',
  },
] as const;

const full = (marks: readonly string[]) => marks.map((mark) => `wI.${mark}`);

/** Work of this year, with the minutes it took and what was used. */
export const WORK = [
  {
    key: 'clean',
    operation: 'clean.dry',
    subjects: full([...rowMarks(28, 28), ...HIGH_TRACERY]),
    happened: '2026-06/2026-07',
    byRole: 'Painter',
    minutes: 1130,
    materials: [],
  },
  {
    key: 'consolidate',
    operation: 'secure.consolidate',
    subjects: full(['28b', '28c']),
    happened: '2026-07-08',
    byRole: 'Painter',
    minutes: 290,
    materials: [{ of: 'resin', quantity: '14' }],
    note: 'Under the lens, twice; held when tried with a soft brush on the next day.',
  },
  {
    key: 'relead',
    operation: 'relead.part',
    subjects: full([...rowMarks(28, 28), 'G1', 'F1', 'F2']),
    happened: '2026-08',
    byRole: 'Glazier',
    minutes: 2240,
    materials: [{ of: 'came', quantity: '19.5' }],
    reason: 'Outer leads and broken leaves only.',
  },
  {
    key: 'plate',
    operation: 'plate',
    subjects: full(['28b']),
    happened: '2026-08-20',
    byRole: 'Painter',
    minutes: 150,
    materials: [],
    note: 'The head had broken in three; thin glass laid behind it, nothing fired.',
  },
  {
    key: 'cement',
    operation: 'cement',
    subjects: full([...rowMarks(28, 28), ...HIGH_TRACERY]),
    happened: '2026-09-03',
    byRole: 'Glazier',
    minutes: 700,
    materials: [{ of: 'putty', quantity: '6.2' }],
  },
] as const;

/** What each crate holds, and how far it came. */
export const CRATES = [
  { mark: 'W1', panels: rowMarks(25, 26), how: 'arrived' },
  { mark: 'W2', panels: rowMarks(23, 24), how: 'on-the-way' },
  { mark: 'W3', panels: rowMarks(21, 22), how: 'packed' },
] as const;

/** Came out of crate W1 broken. */
export const BROKEN = '26c';
