/** Paper and units of print: millimetres everywhere, points only at the pen. */

export const PT_PER_MM = 72 / 25.4;

/** Points of a length in millimetres. */
export function pt(mm: number): number {
  return mm * PT_PER_MM;
}

export type PaperName = 'A4' | 'A3' | 'Letter';

/** Upright sizes. Source: ISO 216; Letter: 8.5 × 11 in, ANSI/ASME Y14.1. */
export const PAPER_MM: Record<PaperName, readonly [widthMm: number, heightMm: number]> = {
  A4: [210, 297],
  A3: [297, 420],
  Letter: [215.9, 279.4],
};

/** Colours of paper work, on white: warm ink, quiet rules, the amber of silver stain. */
export const INK = {
  text: '#1d1b18',
  dim: '#6b6459',
  rule: '#d5cdbd',
  faint: '#f4f0e7',
  lead: '#dcd8cf',
  leadEdge: '#2a2723',
  stain: '#a8720c',
} as const;
