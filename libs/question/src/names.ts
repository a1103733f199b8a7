/** What people call the acts, findings, techniques and kinds of rows that the vocabulary has. Common practice, no source. */
import { byNameOrPlural, FINDING_TERMS, OPERATIONS, TECHNIQUES } from '#libs/vocabulary';

/** Words for acts, each with the keys it may mean; a group stands for all that begin with it. */
const ACTS: readonly (readonly [words: string, keys: string])[] = [
  ['repainted repaint repainting', 'repaint.'],
  ['retouched retouching', 'repaint.cold'],
  ['bonded glued bonding', 'bond.'],
  ['cleaned cleaning', 'clean.'],
  ['releaded re-leaded relead re-leading releading', 'relead.'],
  ['replaced replacement replacing', 'replace'],
  ['foiled', 'foil'],
  ['plated', 'plate'],
  ['infilled infill', 'infill.'],
  ['consolidated consolidation', 'secure.consolidate'],
  ['faced', 'secure.face'],
  ['cemented cementing', 'cement'],
  ['soldered soldering', 'solder'],
  ['strapped', 'strap'],
  ['flattened', 'flatten'],
  ['etched', 'etch'],
  ['gilded gilding', 'gild'],
  ['dismantled dismantling', 'dismantle'],
  ['refixed refixing', 'refix'],
];

export const KINDS: Readonly<Record<string, string>> = {
  piece: 'piece',
  pieces: 'piece',
  finding: 'finding',
  findings: 'finding',
  work: 'intervention',
  works: 'intervention',
  interventions: 'intervention',
  treatments: 'intervention',
  pictures: 'media',
  photographs: 'media',
  papers: 'media',
  panels: 'panel',
};

/** Words that ask, and say nothing about what is asked. */
export const ASKING: ReadonlySet<string> = new Set(
  'a all an and any are at been by did do does every for had has have in is it of on only or show that the there to was were what when where which who with'.split(
    ' ',
  ),
);

const OPERATION_WORDS = new Map<string, readonly string[]>();
for (const { key, label } of OPERATIONS) {
  // a single plain word may be meant as a word: `foil` and `plate` stand in notes too
  if (label.includes(' ')) OPERATION_WORDS.set(plain(label), [key]);
}
for (const [words, named] of ACTS) {
  const keys = OPERATIONS.map(({ key }) => key).filter((key) =>
    named.endsWith('.') ? key.startsWith(named) : key === named,
  );
  for (const word of words.split(' ')) OPERATION_WORDS.set(plain(word), keys);
}

const TERM_WORDS = new Map<string, readonly string[]>();
for (const { key, label } of FINDING_TERMS) {
  const name = plain(label);
  TERM_WORDS.set(name, [...(TERM_WORDS.get(name) ?? []), key]);
}
// The head of several terms means them all: cracks of every kind.
for (const head of ['crack', 'loss', 'corrosion', 'bulge']) {
  const keys = FINDING_TERMS.filter(({ label }) => plain(label).split(' ').includes(head)).map(
    ({ key }) => key,
  );
  if (keys.length > 0) TERM_WORDS.set(head, keys);
}

/** How a piece is made, in the words that are said of it beside the label. */
const TECHNIQUE_WORDS = new Map<string, string>(
  TECHNIQUES.map(({ key, label }) => [plain(label), key]),
);
for (const [words, key] of [
  ['plated plating', 'plated'],
  ['laminated', 'laminated'],
  ['flashed', 'flashed'],
  ['etched', 'etched'],
  ['abraded', 'abraded'],
  ['engraved', 'engraved'],
  ['moulded', 'drapery'],
  ['crown', 'crown'],
  ['opalescent', 'opalescent'],
  ['gilded gilt', 'gilding'],
  ['stained', 'silver-stain'],
  ['enamelled', 'enamel'],
] as const) {
  for (const word of words.split(' ')) TECHNIQUE_WORDS.set(word, key);
}

/** Key of the technique that a phrase or its plural names. */
export const techniqueNamed = (phrase: string): string | undefined =>
  byNameOrPlural(TECHNIQUE_WORDS, plain(phrase));

/** Keys of the operations that a phrase names. */
export const operationsNamed = (phrase: string): readonly string[] | undefined =>
  OPERATION_WORDS.get(plain(phrase));

/** Keys of the terms that a phrase or its plural names. */
export function termsNamed(phrase: string): readonly string[] | undefined {
  return byNameOrPlural(TERM_WORDS, plain(phrase));
}

function plain(text: string): string {
  return text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();
}
