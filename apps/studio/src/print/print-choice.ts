/** What can be printed or taken away of a lead drawing, and how a person wants it. */
import type { NetFileName } from '../platform/api/nets.js';

export const prints = ['drawing', 'pattern', 'schedule'] as const;
export type Print = (typeof prints)[number];

export const printWords: Readonly<Record<Print, string>> = {
  drawing: 'lead drawing at 1 : 1',
  pattern: 'pattern pieces',
  schedule: 'came and glass schedule',
};

export const papers = ['A4', 'A3', 'Letter'] as const;
export type Paper = (typeof papers)[number];

export interface PrintChoice {
  readonly print: Print;
  readonly paper: Paper;
  readonly from: 'inside' | 'outside';
  /** of pattern pieces: packed on as few sheets as they take, or each where it stands in the panel */
  readonly laid: 'packed' | 'in place';
  readonly stickMm: string;
  readonly wastePercent: string;
  readonly thicknessMm: string;
}

export const firstChoice: PrintChoice = {
  print: 'drawing',
  paper: 'A4',
  from: 'inside',
  laid: 'packed',
  stickMm: '',
  wastePercent: '',
  thicknessMm: '',
};

/** The words that the archive is asked with; what is left empty is the archive's own default. */
export function askedHow(
  choice: PrintChoice,
  read: (text: string) => number | undefined,
): Readonly<Record<string, string>> {
  const figure = (text: string, factor = 1) => {
    const value = read(text);
    return value === undefined ? '' : String(value * factor);
  };
  const mirrored = choice.from === 'outside' ? 'true' : '';
  switch (choice.print) {
    case 'drawing':
      return { paper: choice.paper, mirrored };
    case 'pattern':
      return {
        paper: choice.paper,
        mirrored,
        inPlace: choice.laid === 'in place' ? 'true' : '',
      };
    case 'schedule':
      return {
        stickMm: figure(choice.stickMm),
        wasteRatio: figure(choice.wastePercent, 0.01),
        thicknessMm: figure(choice.thicknessMm),
      };
  }
}

export const printFile: Readonly<Record<Print, NetFileName>> = {
  drawing: 'net.pdf',
  pattern: 'pattern.pdf',
  schedule: 'schedule.csv',
};

/** The drawing for other programs. */
export const otherFiles: readonly (readonly [NetFileName, string, string])[] = [
  ['net.svg', 'SVG', 'drawing programs; 1 unit is 1 mm'],
  ['net.dxf', 'DXF', 'CAD; layers by trade terms'],
  ['pattern.svg', 'pattern pieces, SVG', 'each piece at its cut size'],
  ['pattern.dxf', 'pattern pieces, DXF', 'for a cutting table'],
  ['net.geojson', 'GeoJSON', 'leads, joints and pieces as features, in mm'],
  ['net.json', 'JSON', 'everything, by its published schema'],
];
