/** What the demo tells of the chapel's making and keeping, of its small windows, and of single panels at the bench. */

export const BACKGROUNDS = [
  {
    mark: 'SLM',
    keeper: 'keepers of the landing, for the ferrymen’s guild',
    protection:
      'On the list of the shire, first grade; its officer is asked before glass is moved.',
  },
  {
    mark: 'wI',
    made: {
      happened: '1868~',
      by: 'a workshop of the harbour town, not named',
      source: 'bill for stone of 1867; style of the canopies',
    },
    technique: 'Pot metal and white glass, brown paint and yellow stain, milled came.',
  },
  {
    mark: 'sII',
    made: { happened: '1903', by: 'the same workshop, later hand', source: 'date in the border' },
    technique: 'Slab glass and white glass with brown paint in wide leads.',
  },
  {
    mark: 'nII',
    made: { happened: '18XX', source: 'quarries of no mark' },
    technique: 'Plain quarries, a painted reed in each third.',
  },
] as const;

interface OtherSurvey {
  readonly window: string;
  readonly purpose: string;
  readonly access: string;
  readonly happened: string;
  readonly nextInspection: string;
  /** of a panel, by its mark */
  readonly panels: (mark: string) => object;
}

const classed = (conditionClass: 0 | 1 | 2 | 3, text: string) => ({
  conditionClass,
  urgency: conditionClass,
  recommendation: conditionClass,
  reasons: [{ text, source: 'surveyor' }],
});
const unseen = (text: string) => ({
  conditionClass: 'not-accessible',
  reasons: [{ text, source: 'surveyor' }],
});

export const OTHER_SURVEYS: readonly OtherSurvey[] = [
  {
    window: 'I',
    purpose: 'round of the whole chapel',
    access: 'ladder to the fourth row',
    happened: '2026-03-13',
    nextInspection: '2029-03',
    panels: (mark) =>
      /^[1-4]/.test(mark)
        ? classed(1, 'Putty chalky, leads firm.')
        : unseen('Above the reach of the ladder.'),
  },
  {
    window: 'nII',
    purpose: 'round of the whole chapel',
    access: 'from the floor and a step',
    happened: '2026-03-13',
    nextInspection: '2031',
    panels: () => classed(0, 'Dressed and cemented in 2014; holds.'),
  },
  {
    window: 'sII',
    purpose: 'before the panels are taken to the bench',
    access: 'tower on the south side',
    happened: '2026-09-14',
    nextInspection: '2027-09',
    panels: (mark) =>
      mark.startsWith('2')
        ? classed(3, 'Broken heads, paint comes away at the foot.')
        : classed(2, 'Leaves lifted; ties gone.'),
  },
];

/** On sII.2a before its proposal: places in mm from the panel's upper left corner, as seen from inside. */
export const TESTS = [
  {
    key: 'paint',
    subject: 'sII.2a',
    kind: 'paint-adhesion',
    place: 'trace line of the sleeve, inside',
    atMm: [118, 214],
    method: 'soft brush, dry, under the lens',
    byRole: 'Painter',
    happened: '2026-09-16',
    known: { outcome: 'partly', result: 'matt holds; line comes away over 4 mm at its end' },
  },
  {
    key: 'clean',
    subject: 'sII.2a',
    kind: 'cleaning-trial',
    place: 'sky beside the oar, outside',
    atMm: [262, 96],
    method: 'cotton wool barely damp with water, 10 × 10 mm',
    byRole: 'Painter',
    happened: '2026-09-16',
    known: {
      outcome: 'works',
      result: 'soot gone after two passes; nothing on the swab of the third',
    },
  },
  {
    key: 'putty',
    subject: 'sII.2a',
    kind: 'putty-asbestos',
    place: 'under the lower outer lead',
    atMm: [180, 441],
    method: 'taken wet with a wooden point',
    byRole: 'Glazier',
    sample: 'sample P1, sealed bag, box 3',
    happened: '2026-09-17',
    known: { outcome: 'not-found', result: 'report of the laboratory, three grains looked at' },
  },
  {
    key: 'putty-composition',
    subject: 'sII.2a',
    kind: 'putty-composition',
    place: 'beside it',
    atMm: [204, 440],
    method: 'taken wet with a wooden point',
    byRole: 'Glazier',
    sample: 'sample P2, sealed bag, sent away',
    happened: '2026-09-17',
  },
] as const;

/** Section of the old came at a cut end, but for its face. */
export const GAUGED = {
  leaf: 'round',
  leafMm: 1.1,
  heartHeightMm: 4.8,
  heartMm: 1.4,
} as const;

/** Where the traced piece lies in its panel, and when its shards were laid on the light box. */
export const TRAY = { panel: '26c', atMm: [60, 90], happened: '2026-05-11' } as const;
