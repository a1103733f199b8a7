/**
 * Search rows as forty years of a large studio leave them, in the order of their recording: campaigns of
 * some thousand acts and findings on one window after the other, a tenth of the work taken from papers.
 * Row `i` follows from `i` alone.
 */
import { filteredBy } from '#libs/archive';
import { FINDING_TERMS, OPERATIONS, PIECE_SUBJECTS } from '#libs/vocabulary';

export const SITES = 40;
export const WINDOWS = 30;
const PANELS = 12;
const PIECES = 60;
/** acts and findings of one campaign on one window */
const CAMPAIGN = 3000;
const FIRST_MS = Date.UTC(1987, 0, 5);
const LAST_MS = Date.UTC(2026, 10, 20);

export interface BenchRow {
  readonly siteId: string;
  readonly rowId: string;
  readonly kind: 'finding' | 'intervention' | 'piece';
  readonly subject: string;
  readonly windowMark: string;
  readonly happened: string | null;
  readonly earliest: string | null;
  readonly latest: string | null;
  readonly happenedSure: boolean;
  readonly keys: readonly string[];
  readonly title: string;
  readonly text: string;
  readonly recordedAt: Date;
}

const MATERIALS = [
  'epoxy resin, water-clear',
  'epoxy resin, tinted',
  'silicone, neutral',
  'acrylic resin 20 % in ethyl acetate',
  'deionised water',
  'ethanol 50 %',
  'glass fibre brush',
  'lead came 6 mm, flat',
  'lead came 8 mm, round',
  'linseed putty',
  'whiting',
  'copper foil 5 mm',
  'tin-lead solder 60/40',
  'mouth-blown glass, blue',
  'mouth-blown glass, ruby flashed',
  'vitreous paint, brown',
  'silver stain',
  'shellac',
  'beeswax and resin',
  'copper wire 1.5 mm',
];
const ROLES = ['glazier', 'conservator', 'painter', 'apprentice', 'mason', 'metalworker'];
const WORDS =
  'runs from the upper lead along flash edge toward corner loose matt pitted crust under old putty kept sample bright inside cold paint trace line face hand border quarry canopy broken bonded cleaned swab stopped when colour came away photographed raking lamp held steady no change since last look gap closed later again doubtful beside tie bar water rust stained ochre thin brown film'.split(
    ' ',
  );

/** A whole number from 0 to below `below`, scattered by `i` and `salt` (a finalising mix, as hashes end). */
function pick(i: number, salt: number, below: number): number {
  let h = (Math.imul(i, 0x9e3779b1) ^ Math.imul(salt + 1, 0x85ebca6b)) >>> 0;
  h = Math.imul(h ^ (h >>> 16), 0x21f0aaad);
  h = Math.imul(h ^ (h >>> 15), 0x735a2d97);
  return ((h ^ (h >>> 15)) >>> 0) % below;
}

/** Few of a list stand for most of what is chosen, as in life: the first more often than the last. */
function often<T>(list: readonly T[], i: number, salt: number): T {
  const share = pick(i, salt, 10_000) / 10_000;
  return list[Math.floor(share * share * share * list.length)]!;
}

export const benchSiteId = (site: number) =>
  `0190a0c4-0000-7000-8000-${String(site).padStart(12, '0')}`;
export const benchSiteCode = (site: number) => `B${String(site).padStart(2, '0')}`;
const ROMAN = 'II III IV V VI VII VIII IX X XI XII XIII XIV XV XVI'.split(' ');
export const benchWindow = (window: number) =>
  `${window % 2 === 0 ? 's' : 'n'}${ROMAN[Math.floor(window / 2)]!}`;

export function benchRow(i: number, total: number): BenchRow {
  const campaign = Math.floor(i / CAMPAIGN);
  const site = pick(campaign, 1, SITES);
  const window = benchWindow(pick(campaign, 2, WINDOWS));
  const panelNumber = pick(i, 3, PANELS);
  const panel = `${1 + Math.floor(panelNumber / 3)}${'abc'[panelNumber % 3]!}`;
  const piece = 1 + pick(i, 4, PIECES);
  const recordedAt = new Date(FIRST_MS + Math.floor(((LAST_MS - FIRST_MS) * i) / total));
  const panelMark = `${benchSiteCode(site)}.${window}.${panel}`;
  const kind = i % 100 === 99 ? 'piece' : i % 3 === 0 ? 'intervention' : 'finding';
  const shows = often(PIECE_SUBJECTS, piece * 31 + panelNumber, 5).key;
  const isOld = kind === 'intervention' && pick(i, 6, 10) === 0;
  const happened =
    kind === 'piece' ? null : isOld ? oldDate(i) : recordedAt.toISOString().slice(0, 10);
  const note = Array.from(
    { length: 8 + pick(i, 7, 12) },
    (_, n) => WORDS[pick(i, 20 + n, WORDS.length)],
  ).join(' ');
  const row = {
    siteId: benchSiteId(site),
    rowId: `0190a0c4-0000-7000-9000-${String(i).padStart(12, '0')}`,
    kind,
    windowMark: window,
    happened,
    recordedAt,
  } as const;
  const generations = 2 + (pick(i, 8, 9) === 0 ? 1 : 0);
  const said = {
    piece: () => ({
      subject: `${panelMark}.${piece}`,
      title: `${panelMark}.${piece}`,
      text: `${shows} · ${generations} generations`,
      facts: { shows: [shows], generations },
    }),
    finding: () => finding(i, panelMark, piece, shows, note),
    intervention: () => intervention(i, panelMark, piece, shows, note),
  }[kind]();
  const { facts, ...words } = said;
  return { ...row, ...words, ...filteredBy({ ...row, subject: words.subject, facts }) };
}

function finding(i: number, panelMark: string, piece: number, shows: string, note: string) {
  const term = often(FINDING_TERMS, i, 9);
  const subject = `${panelMark}.${piece}`;
  return {
    subject,
    title: `${subject}: ${term.label}`,
    text: `${term.label} · ${note}`,
    facts: { term: term.key, shows: [shows] },
  };
}

function intervention(i: number, panelMark: string, piece: number, shows: string, note: string) {
  const operation = often(OPERATIONS, i, 10);
  const isOfPanel = pick(i, 11, 6) === 0;
  const marks = isOfPanel
    ? [panelMark]
    : Array.from(
        { length: 1 + pick(i, 12, 3) },
        (_, n) => `${panelMark}.${((piece + n - 1) % PIECES) + 1}`,
      );
  const material = pick(i, 13, 4) === 0 ? null : often(MATERIALS, i, 14);
  const role = pick(i, 15, 5) === 0 ? null : often(ROLES, i, 16);
  const title = `${marks.join(', ')}: ${operation.label}`;
  const text = [operation.label, material, role, note, marks.join(' ')]
    .filter((part) => part !== null)
    .join(' · ');
  return {
    subject: marks[0]!,
    title,
    text,
    facts: {
      marks,
      operation: operation.key,
      materials: [material],
      role,
      shows: isOfPanel ? [] : [shows],
    },
  };
}

/** A date as papers and inscriptions give it. */
function oldDate(i: number): string {
  const year = 1780 + pick(i, 17, 207);
  const forms = [
    `${year}`,
    `${year}~`,
    `${year}?`,
    `${Math.floor(year / 10)}X`,
    `${year}/${year + 2}`,
    `${year}-0${1 + pick(i, 18, 9)}`,
  ];
  return forms[pick(i, 19, forms.length)]!;
}
