/** Words for how glass was made and joined, and for what a piece shows. Trade words, no source. */

export interface Word {
  readonly key: string;
  readonly label: string;
}

const words = (...pairs: readonly (readonly [string, string])[]): readonly Word[] =>
  pairs.map(([key, label]) => ({ key, label }));

/** What holds a piece. */
export const HOLDS = words(
  ['came-h-flat', 'came, H, flat leaf'],
  ['came-h-round', 'came, H, round leaf'],
  ['came-u', 'came, U edge'],
  ['came-zinc', 'zinc came'],
  ['came-brass', 'brass came'],
  ['copper-foil', 'copper foil'],
  ['silicone-plate', 'silicone on a carrier plate'],
  ['slab-resin', 'slab glass in resin'],
  ['slab-concrete', 'slab glass in concrete'],
);

/** What one glass is, and how it was made. */
export const GLASSES = words(
  ['pot-metal', 'pot metal'],
  ['flashed', 'flashed glass'],
  ['clear', 'clear or white glass'],
  ['crown', 'crown glass'],
  ['cylinder', 'cylinder glass'],
  ['rolled', 'rolled glass'],
  ['opalescent', 'opalescent glass'],
  ['drapery', 'drapery or other thick moulded glass'],
  ['slab', 'slab glass'],
  ['jewel', 'jewel'],
  ['float', 'float glass'],
);

/** What was taken off a face of a glass. */
export const SURFACE_WORKS = words(
  ['etched', 'flash etched by acid'],
  ['abraded', 'flash ground away'],
  ['engraved', 'engraved'],
  ['blasted', 'blasted with grit'],
);

/** What was laid on a face of a glass. */
export const PAINTS = words(
  ['vitreous-paint', 'vitreous paint'],
  ['silver-stain', 'silver stain'],
  ['enamel', 'enamel'],
  ['cold-paint', 'cold paint'],
  ['gilding', 'gilding'],
);

/** How several glasses are one piece. */
export const LAYERINGS = words(
  ['plated', 'plated: two glasses or more in one lead'],
  ['laminated', 'layers laminated with silicone'],
);

/** All that a piece can be found by. */
export const TECHNIQUES: readonly Word[] = [
  ...HOLDS,
  ...GLASSES,
  ...SURFACE_WORKS,
  ...PAINTS,
  ...LAYERINGS,
];

/** Where the glass went that another took the place of. */
export const FATES = words(
  ['with-studio', 'kept by the studio, under its number'],
  ['with-owner', 'given to the owner'],
  ['elsewhere-in-window', 'used elsewhere in the window'],
  ['with-museum', 'given to a museum or collection'],
  ['lost', 'lost or thrown away'],
  ['not-known', 'not known'],
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
