/** Door of print: lead drawings at 1:1 and records, as PDF. */
export { checklistPdf } from './checklist-pdf.js';
export { cutListPdf } from './cut-list-pdf.js';
export type { Label } from './labels/draw-label.js';
export { LABEL_MM, type LabelStock, planLabels, ROLL_WIDTH_MM } from './labels/label-stock.js';
export { type LabelsPdfOptions, labelsPdf } from './labels/labels-pdf.js';
export { type NetPdfOptions, netPdf } from './net-pdf.js';
export { PAPER_MM, type PaperName } from './paper.js';
export { type PatternPdfOptions, patternPdf } from './pattern-pdf.js';
export { qrPath, qrRows } from './qr-code.js';
export { layoutPdf, recordPdf } from './record-pdf.js';
export { type RecoverySheet, recoverySheetPdf } from './recovery-sheet-pdf.js';
export { type TargetSheetOptions, targetSheetPdf } from './target-sheet-pdf.js';
