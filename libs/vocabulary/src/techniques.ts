/** Words for how glass was made and joined, and for what a piece shows. Trade words, no source. */

export interface Word {
  readonly key: string;
  readonly label: string;
}

const words = (...pairs: readonly (readonly [string, string])[]): readonly Word[] =>
  pairs.map(([key, label]) => ({ key, label }));

export const TECHNIQUES = words(
  ['came-h-flat', 'came, H, flat leaf'],
  ['came-h-round', 'came, H, round leaf'],
  ['came-u', 'came, U edge'],
  ['came-zinc', 'zinc came'],
  ['came-brass', 'brass came'],
  ['copper-foil', 'copper foil'],
  ['slab-resin', 'slab glass in resin'],
  ['slab-concrete', 'slab glass in concrete'],
  ['laminated', 'layers laminated with silicone'],
  ['plated', 'plated: two glasses or more in one lead'],
  ['pot-metal', 'pot metal'],
  ['flashed', 'flashed glass'],
  ['etched', 'flash etched by acid'],
  ['abraded', 'flash ground away'],
  ['drapery', 'drapery or other thick moulded glass'],
  ['rolled', 'rolled glass'],
  ['crown', 'crown glass'],
  ['cylinder', 'cylinder glass'],
  ['jewel', 'jewel'],
  ['vitreous-paint', 'vitreous paint'],
  ['silver-stain', 'silver stain'],
  ['enamel', 'enamel'],
  ['cold-paint', 'cold paint'],
  ['gilding', 'gilding'],
);

/** What a piece shows; free text stands beside these. */
export const PIECE_SUBJECTS = words(
  ['face', 'face'],
  ['hands', 'hands or feet'],
  ['hair', 'hair or beard'],
  ['drapery', 'drapery'],
  ['inscription', 'inscription'],
  ['heraldry', 'heraldry'],
  ['attribute', 'attribute or object held'],
  ['animal', 'animal'],
  ['plant', 'plant or foliage'],
  ['landscape', 'landscape or water'],
  ['architecture', 'architecture'],
  ['canopy', 'canopy'],
  ['border', 'border'],
  ['ground', 'ground'],
  ['quarry', 'quarry'],
  ['ornament', 'ornament'],
  ['signature', 'signature or date'],
  ['plain', 'plain glass'],
);

/** Asked before a rubbing is taken; "not rubbed because" is an answer. */
export const RUBBING_PRECONDITIONS = [
  {
    key: 'paintTested',
    question: 'Has the paint been tested where the wax will go?',
    caution: 'loose-paint',
    answers: [
      { value: true, label: 'tested, it holds' },
      { value: false, label: 'not tested' },
    ],
  },
  {
    key: 'looseAreas',
    question: 'Are there loose areas, and what was done about them?',
    caution: 'loose-paint',
    answers: [
      { value: 'none', label: 'none' },
      { value: 'covered', label: 'covered' },
      { value: 'left-out', label: 'left out of the rubbing' },
    ],
  },
  {
    key: 'panelSupported',
    question: 'Is the panel supported to its shape?',
    caution: 'bulged-panel',
    answers: [
      { value: true, label: 'supported' },
      { value: false, label: 'not supported' },
    ],
  },
] as const;
