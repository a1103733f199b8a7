/** How labels are wanted: of what, on which stock, with which code. */

export const labelledThings = ['this panel', 'its pieces', 'all panels', 'crate'] as const;
export type LabelledThing = (typeof labelledThings)[number];

/** Grids of A4 that label sheets are sold in, and lengths on a roll of 62 mm: common practice, no source. */
export const labelSizes = ['70 × 37', '105 × 57', '105 × 148', '210 × 148'] as const;
export const rollLengths = ['29', '40', '62', '100'] as const;

export interface LabelChoice {
  readonly of: LabelledThing;
  readonly stock: 'sheet' | 'roll';
  readonly size: (typeof labelSizes)[number];
  readonly rollMm: (typeof rollLengths)[number];
  readonly face: 'inside' | 'outside';
  /** what the code holds */
  readonly code: 'the mark' | 'an address';
  readonly crate: string;
  /** panels in the crate; empty: the one whose print room this is */
  readonly inCrate: string;
  readonly skipped: string;
}

export const firstLabels: LabelChoice = {
  of: 'this panel',
  stock: 'sheet',
  size: '105 × 57',
  rollMm: '62',
  face: 'inside',
  code: 'the mark',
  crate: '1',
  inCrate: '',
  skipped: '',
};

/**
 * The words that the archive is asked with; empty ones are left out.
 * @param mark of the panel in its window: '2b' @param origin of this studio, for codes that hold an address
 */
export function askedLabels(
  choice: LabelChoice,
  mark: string,
  origin: string,
  read: (text: string) => number | undefined,
): Readonly<Record<string, string>> {
  const [widthMm = '', heightMm = ''] = choice.size.split(' × ');
  const skipped = read(choice.skipped);
  const inCrate = choice.inCrate
    .split(/[\s,;]+/)
    .filter((word) => word !== '')
    .join(',');
  return {
    of: { 'this panel': 'panels', 'its pieces': 'pieces', 'all panels': 'panels', crate: 'crate' }[
      choice.of
    ],
    panels: choice.of === 'all panels' ? '' : choice.of === 'crate' ? inCrate || mark : mark,
    crate: choice.of === 'crate' ? choice.crate : '',
    stock: choice.stock,
    ...(choice.stock === 'roll' ? { heightMm: choice.rollMm } : { widthMm, heightMm }),
    skipped: choice.stock === 'sheet' && skipped !== undefined ? String(skipped) : '',
    face: choice.face,
    address: choice.code === 'an address' ? origin : '',
  };
}

/** What is measured on the print before it is used: '105 mm'. */
export const measuredLabel = ({ stock, size }: LabelChoice): string =>
  stock === 'roll' ? '62 mm' : `${size.split(' × ')[0] ?? ''} mm`;
