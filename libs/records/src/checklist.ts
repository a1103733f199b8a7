/**
 * Lists to be ticked by hand at the scaffold and at the bench, one shape for all of them: a table of
 * things with the boxes that each must get, and lines to write on.
 */
import type { Net, XyMm } from '#libs/net';
import { cautionsFor, cautionText, DEFERRAL } from '#libs/vocabulary';

/** What is listed, as it is drawn: small, on the list itself, so that a mark is found on the glass. */
export type ChecklistDrawing =
  | { readonly kind: 'panel'; readonly net: Net }
  | {
      readonly kind: 'window';
      readonly openingRingMm: readonly XyMm[];
      readonly panels: readonly { readonly mark: string; readonly ringMm: readonly XyMm[] }[];
    };

export interface ChecklistTable {
  readonly heading: string;
  /** what is ticked of each row, one box each */
  readonly boxes: readonly string[];
  /** rows side by side on one line of the paper: 1 with words beside the mark, 3 for marks alone */
  readonly across: 1 | 3;
  readonly rows: readonly { readonly mark: string; readonly words: readonly string[] }[];
}

export interface Checklist {
  readonly title: string;
  readonly mark: string;
  /** site, and what the list was made from */
  readonly lead: string;
  readonly cautions: readonly string[];
  readonly drawing: ChecklistDrawing | null;
  readonly tables: readonly ChecklistTable[];
  /** lines to write on, each with what stands there */
  readonly blanks: readonly string[];
}

/** What every list is made for. */
export interface ChecklistAbout {
  readonly mark: string;
  readonly siteName: string;
  /** ISO day of the entry that the list was made from */
  readonly asOf: string;
  readonly drawing?: ChecklistDrawing;
}

export interface PanelInOrder {
  readonly mark: string;
  /** marks right on top of it, right under it */
  readonly carries: readonly string[];
  readonly bearsOn: readonly string[];
  /** what to lift by, kg */
  readonly liftKg: number;
}

/** Panels of a window from the top down, each faced, supported, tagged and pictured before it goes. */
export function removalChecklist(
  about: ChecklistAbout,
  panels: readonly PanelInOrder[],
): Checklist {
  return {
    ...head(about, 'Taking out', 'from the top down: common practice, no source'),
    cautions: cautions(
      ['height', 'lifting', 'broken-glass', 'lead-dust', 'tape-on-paint', 'open-opening'],
      about.asOf,
    ),
    tables: [
      {
        heading: 'In this order',
        boxes: ['secured', 'held', 'tagged', 'face up, pictured', 'crated'],
        across: 1,
        rows: panels.map((panel) => ({
          mark: panel.mark,
          words: [
            panel.carries.length === 0
              ? 'nothing stands on it'
              : `first out: ${panel.carries.join(', ')}`,
            `lift as ${panel.liftKg.toFixed(1)} kg`,
            'crate …………  slot …………',
          ],
        })),
      },
    ],
    blanks: ['Openings closed with', 'What broke, with its mark', 'By, day'],
  };
}

/** Panels of a window from the bottom up, each with bars and ties, gap and pointing. */
export function refixingChecklist(
  about: ChecklistAbout,
  panels: readonly PanelInOrder[],
): Checklist {
  return {
    ...head(about, 'Putting back', 'from the bottom up: common practice, no source'),
    cautions: cautions(['height', 'lifting', 'broken-glass', 'lead-dust'], about.asOf),
    tables: [
      {
        heading: 'In this order',
        boxes: ['signed, cured', 'in', 'bars, ties', 'pointed', 'pictured'],
        across: 1,
        rows: panels.map((panel) => ({
          mark: panel.mark,
          words: [
            panel.bearsOn.length === 0
              ? 'stands on the sill'
              : `stands on ${panel.bearsOn.join(', ')}`,
            'gap to the outer glazing ………… mm',
          ],
        })),
      },
    ],
    blanks: ['Ties, of what and how many', 'Pointed with, batch', 'Next inspection', 'By, day'],
  };
}

export interface LeadKindRow {
  readonly kind: string;
  readonly widthClassMm: number;
  readonly profile: string | null;
  readonly leads: number;
  readonly lengthMm: number;
}

/** Pieces of a panel onto the working rubbing, and what is kept and gauged of the old lead. */
export function dismantlingChecklist(
  about: ChecklistAbout,
  pieces: readonly string[],
  leads: readonly LeadKindRow[],
): Checklist {
  return {
    ...head(about, 'Taking apart', 'from its lead drawing'),
    cautions: cautions(['lead-dust', 'asbestos-putty', 'broken-glass'], about.asOf),
    tables: [
      {
        heading: `Pieces, ${pieces.length} in all`,
        boxes: ['on', 'broke', 'not there'],
        across: 3,
        rows: pieces.map((mark) => ({ mark, words: [] })),
      },
      {
        heading: 'Old lead, gauged at a clean cut end',
        boxes: ['gauged'],
        across: 1,
        rows: leads.map((one) => ({
          mark: `${one.widthClassMm} mm`,
          words: [leadWords(one), 'face ………  leaf ………  heart high ………  thick ………  mm, at L ………'],
        })),
      },
    ],
    blanks: ['Working rubbing', 'Sample of the old came, from', 'Putty: state, test', 'By, day'],
  };
}

export interface TightSizeMm {
  readonly widthMm: number;
  readonly heightMm: number;
}

/** Every piece and every kind of lead of a rebuilt panel, its fit against the opening, cement and cure. */
export function rebuildChecklist(
  about: ChecklistAbout,
  pieces: readonly string[],
  leads: readonly LeadKindRow[],
  tight: TightSizeMm | null,
): Checklist {
  return {
    ...head(about, 'Rebuilding', 'from its lead drawing'),
    cautions: cautions(['lead-dust', 'broken-glass'], about.asOf),
    tables: [
      {
        heading: `Pieces, ${pieces.length} in all`,
        boxes: ['in', 'replaced', 'missing'],
        across: 3,
        rows: pieces.map((mark) => ({ mark, words: [] })),
      },
      {
        heading: 'Leads',
        boxes: ['as listed', 'another'],
        across: 1,
        rows: leads.map((one) => ({
          mark: `${one.widthClassMm} mm`,
          words: [leadWords(one), 'if another, which ………………………'],
        })),
      },
    ],
    blanks: [
      tight === null
        ? 'Trial fit, width × height, mm (no tight size of the opening is known)'
        : `Trial fit, width × height, mm (opening ${tight.widthMm} × ${tight.heightMm}: smaller on both)`,
      'Both diagonals, mm',
      'Cemented on, with',
      'Not moved before',
      'Pictured, both faces',
      'By, day',
    ],
  };
}

function leadWords({ kind, profile, leads, lengthMm }: LeadKindRow): string {
  return [
    `${kind}, ${profile ?? 'profile not known'}`,
    `${leads} ${leads === 1 ? 'lead' : 'leads'}, ${(lengthMm / 1000).toFixed(2)} m`,
  ].join(': ');
}

function head({ mark, siteName, asOf, drawing }: ChecklistAbout, title: string, from: string) {
  const lead = `${siteName} · ${from} · as known ${asOf}`;
  return { title, mark, lead, drawing: drawing ?? null };
}

function cautions(keys: readonly string[], day: string): string[] {
  return [
    ...cautionsFor(keys).map((one) => `${one.hazard}: ${cautionText(one, null, day)}`),
    DEFERRAL,
  ];
}
