/**
 * The target sheet: strips of tags with known places, printed at 1:1, cut apart and laid round the panel on the rubbing.
 * One strip is rigid; how the strips lie to one another is found from the picture. Uncut, the whole sheet is one body,
 * which is how a lens is calibrated.
 */
export type TargetPaper = 'A4' | 'A3' | 'Letter';

export interface TargetTag {
  readonly id: number;
  /** Top left corner of the black square, millimetres from the strip's top left. */
  readonly xMm: number;
  readonly yMm: number;
}

export interface TargetStrip {
  /** 'A4-1' … */
  readonly name: string;
  /** Place of the uncut strip on the lying sheet. */
  readonly leftMm: number;
  readonly topMm: number;
  readonly tags: readonly TargetTag[];
}

export interface TargetLayout {
  readonly paper: TargetPaper;
  /** Of the lying sheet. Source: ISO 216; ANSI/ASME Y14.1 size A. */
  readonly sheetMm: readonly [number, number];
  readonly stripMm: readonly [number, number];
  /** Length of the ruler printed on each strip, whole tens. */
  readonly rulerMm: number;
  /** Where the ruler's zero lies on the strip. */
  readonly rulerAtMm: readonly [number, number];
  readonly strips: readonly TargetStrip[];
}

/** Side of a tag's black square: 2 mm to the cell, so that 2 px to the millimetre still show 4 px to the cell. */
export const TAG_MM = 16;
const STRIP_HEIGHT_MM = 34;
/** White round a tag, at least one cell. */
const TAG_MARGIN_MM = 5;
const FIRST_TOP_MM = 30;

const plan = (
  paper: TargetPaper,
  sheetMm: readonly [number, number],
  strips: number,
  tags: number,
  pitchMm: number,
  firstId: number,
): TargetLayout => {
  const lengthMm = (tags - 1) * pitchMm + TAG_MM + 2 * TAG_MARGIN_MM;
  return {
    paper,
    sheetMm,
    stripMm: [lengthMm, STRIP_HEIGHT_MM],
    rulerMm: 10 * Math.floor((lengthMm - 2 * TAG_MARGIN_MM - 4) / 10),
    rulerAtMm: [TAG_MARGIN_MM, 25],
    strips: Array.from({ length: strips }, (_, s) => ({
      name: `${paper}-${s + 1}`,
      leftMm: (sheetMm[0] - lengthMm) / 2,
      topMm: FIRST_TOP_MM + s * STRIP_HEIGHT_MM,
      tags: Array.from({ length: tags }, (__, k) => ({
        id: firstId + s * tags + k,
        xMm: TAG_MARGIN_MM + k * pitchMm,
        yMm: TAG_MARGIN_MM,
      })),
    })),
  };
};

const LAYOUTS: Readonly<Record<TargetPaper, TargetLayout>> = {
  A4: plan('A4', [297, 210], 4, 7, 41, 0),
  Letter: plan('Letter', [279.4, 215.9], 4, 7, 38, 28),
  A3: plan('A3', [420, 297], 6, 10, 41, 56),
};

export function targetLayout(paper: TargetPaper): TargetLayout {
  return LAYOUTS[paper];
}

/** The strip a tag belongs to, or undefined for a tag that none of our sheets carries. */
export function stripOfTag(
  id: number,
): { layout: TargetLayout; strip: TargetStrip; tag: TargetTag } | undefined {
  for (const layout of Object.values(LAYOUTS)) {
    for (const strip of layout.strips) {
      const tag = strip.tags.find((t) => t.id === id);
      if (tag) return { layout, strip, tag };
    }
  }
  return undefined;
}

/** Corners of a tag's black square, clockwise from its own top left, millimetres on the strip. */
export function tagCornersMm({ xMm, yMm }: TargetTag): readonly (readonly [number, number])[] {
  return [
    [xMm, yMm],
    [xMm + TAG_MM, yMm],
    [xMm + TAG_MM, yMm + TAG_MM],
    [xMm, yMm + TAG_MM],
  ];
}
