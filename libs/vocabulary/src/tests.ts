/** Tests made before work is proposed: what is tried or taken, how each can end, and its cautions. */

export interface TestOutcome {
  readonly key: string;
  readonly label: string;
}

export interface TestKind {
  readonly key: string;
  readonly label: string;
  readonly definition: string;
  /** Something is taken away and sent to somebody: the result comes later. */
  readonly takesSample: boolean;
  readonly outcomes: readonly TestOutcome[];
  /** Keys of cautions, shown before the test is made. */
  readonly cautions: readonly string[];
  /** What holds until the result is known. */
  readonly untilKnown: string;
}

const INCONCLUSIVE: TestOutcome = { key: 'inconclusive', label: 'cannot be told' };
const FOUND = (what: string): readonly TestOutcome[] => [
  { key: 'found', label: `${what} found` },
  { key: 'not-found', label: `no ${what} found` },
  INCONCLUSIVE,
];
const COMPOSITION: readonly TestOutcome[] = [
  { key: 'known', label: 'composition known' },
  INCONCLUSIVE,
];

/** Common practice, no source; words of our own. */
export const TEST_KINDS: readonly TestKind[] = [
  {
    key: 'paint-adhesion',
    label: 'paint adhesion',
    definition: 'whether fired or cold paint holds, tried at stated places',
    takesSample: false,
    outcomes: [
      { key: 'holds', label: 'holds' },
      { key: 'partly', label: 'holds in places' },
      { key: 'loose', label: 'comes off' },
      INCONCLUSIVE,
    ],
    cautions: ['untested-paint'],
    untilKnown: 'Treat the paint as loose: nothing is wiped, rubbed or taped.',
  },
  {
    key: 'cleaning-trial',
    label: 'cleaning trial',
    definition: 'a small place cleaned, to find the method and where to stop',
    takesSample: false,
    outcomes: [
      { key: 'works', label: 'cleans without harm' },
      { key: 'harms', label: 'harms' },
      { key: 'does-nothing', label: 'does nothing' },
      INCONCLUSIVE,
    ],
    cautions: ['untested-paint', 'solvents'],
    untilKnown: 'Clean nothing by this method.',
  },
  {
    key: 'putty-asbestos',
    label: 'putty, asbestos',
    definition: 'putty or mastic taken and looked at for asbestos',
    takesSample: true,
    outcomes: FOUND('asbestos'),
    cautions: ['asbestos-putty', 'lead-dust'],
    untilKnown: 'Treat the putty as holding asbestos: wet, by hand, no grinding.',
  },
  {
    key: 'putty-composition',
    label: 'putty, composition',
    definition: 'putty taken to know its oil, filler and pigment',
    takesSample: true,
    outcomes: COMPOSITION,
    cautions: ['asbestos-putty', 'lead-dust'],
    untilKnown: 'Treat old putty as holding lead.',
  },
  {
    key: 'lead-alloy',
    label: 'lead, alloy',
    definition: 'a piece of came taken to know its alloy',
    takesSample: true,
    outcomes: COMPOSITION,
    cautions: ['lead-dust'],
    untilKnown: 'Keep the rest of the came that the sample was cut from.',
  },
  {
    key: 'glass-composition',
    label: 'glass, composition',
    definition: 'glass analysed, from a fragment or without taking any',
    takesSample: true,
    outcomes: COMPOSITION,
    cautions: ['broken-glass'],
    untilKnown: 'Keep the glass away from water and from changes of climate.',
  },
  {
    key: 'paint-composition',
    label: 'paint, composition',
    definition: 'paint or cold retouching analysed',
    takesSample: true,
    outcomes: COMPOSITION,
    cautions: ['untested-paint'],
    untilKnown: 'Treat the paint as soluble.',
  },
];

export function testKind(key: string): TestKind | undefined {
  return TEST_KINDS.find((one) => one.key === key);
}
