/** What can be printed or taken away of a lead drawing, and how a person wants it. */
import type { ChecklistName } from '../platform/api/custody.js';
import type { NetFileName } from '../platform/api/nets.js';
import { say } from '../platform/language/say.js';

export const prints = ['drawing', 'pattern', 'schedule', 'labels', 'lists'] as const;
export type Print = (typeof prints)[number];
/** What is made of a lead drawing. */
export type NetPrint = Exclude<Print, 'labels' | 'lists'>;
/** What is there before anything is drawn. */
export const printsUndrawn = ['labels', 'lists'] as const satisfies readonly Print[];

export const printWords: Readonly<Record<Print, string>> = {
  drawing: say('lead drawing at 1 : 1'),
  pattern: say('pattern pieces'),
  schedule: say('came and glass schedule'),
  labels: say('labels'),
  lists: say('lists to tick'),
};

export const listWords: Readonly<Record<ChecklistName, string>> = {
  removal: say('taking out'),
  dismantling: say('taking apart'),
  rebuild: say('rebuilding'),
  refixing: say('putting back'),
};

/** Whether a list is of the whole window; the others are of one panel, from its lead drawing. */
export const isOfWindow = (list: ChecklistName): boolean =>
  list === 'removal' || list === 'refixing';

export const papers = ['A4', 'A3', 'Letter'] as const;
export type Paper = (typeof papers)[number];

/** Both: one file, first from inside, then turned over. */
export const sides = ['inside', 'outside', 'both'] as const;
export type Side = (typeof sides)[number];

export const overlaps = ['5', '10', '20'] as const;
export type Overlap = (typeof overlaps)[number];

export interface PrintChoice {
  readonly print: Print;
  readonly paper: Paper;
  readonly from: Side;
  readonly numbers: 'with' | 'without';
  /** what two neighbouring sheets show of each other, mm */
  readonly overlap: Overlap;
  /** of pattern pieces: packed on as few sheets as they take, or each where it stands in the panel */
  readonly laid: 'packed' | 'in place';
  readonly stickMm: string;
  readonly wastePercent: string;
  readonly thicknessMm: string;
  readonly list: ChecklistName;
}

export const firstChoice: PrintChoice & { readonly print: NetPrint } = {
  print: 'drawing',
  paper: 'A4',
  from: 'inside',
  numbers: 'with',
  overlap: '10',
  laid: 'packed',
  stickMm: '',
  wastePercent: '',
  thicknessMm: '',
  list: 'removal',
};

/** The words that the archive is asked with; what is left empty is the archive's own default. */
export function askedHow(
  choice: PrintChoice & { readonly print: NetPrint },
  read: (text: string) => number | undefined,
): Readonly<Record<string, string>> {
  const figure = (text: string, factor = 1) => {
    const value = read(text);
    return value === undefined ? '' : String(value * factor);
  };
  const mirrored = choice.from === 'outside' ? 'true' : '';
  switch (choice.print) {
    case 'drawing':
      return {
        paper: choice.paper,
        mirrored,
        bothSides: choice.from === 'both' ? 'true' : '',
        numbers: choice.numbers === 'without' ? 'false' : '',
        overlapMm: choice.overlap,
      };
    case 'pattern':
      return {
        paper: choice.paper,
        mirrored,
        ...(choice.laid === 'in place' ? { inPlace: 'true', overlapMm: choice.overlap } : {}),
      };
    case 'schedule':
      return {
        stickMm: figure(choice.stickMm),
        wasteRatio: figure(choice.wastePercent, 0.01),
        thicknessMm: figure(choice.thicknessMm),
      };
  }
}

export const printFile: Readonly<Record<NetPrint, NetFileName>> = {
  drawing: 'net.pdf',
  pattern: 'pattern.pdf',
  schedule: 'schedule.csv',
};

/** The drawing for other programs. */
export const otherFiles: readonly (readonly [NetFileName, string, string])[] = [
  ['net.svg', 'SVG', say('drawing programs; 1 unit is 1 mm')],
  ['net.dxf', 'DXF', say('CAD; layers by trade terms')],
  ['pattern.svg', say('pattern pieces, SVG'), say('each piece at its cut size')],
  ['pattern.dxf', say('pattern pieces, DXF'), say('for a cutting table')],
  ['net.geojson', 'GeoJSON', say('leads, joints and pieces as features, in mm')],
  ['net.json', 'JSON', say('everything, by its published schema')],
];
