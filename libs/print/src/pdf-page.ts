/** A PDF that is the same bytes for the same input: fixed dates, embedded fonts, no random parts. */
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import PDFDocument from 'pdfkit';
import type { Curve } from '#libs/net';
import { traceCurve } from './curve-path.js';
import { PT_PER_MM } from './paper.js';

export type Pdf = PDFKit.PDFDocument;

const require = createRequire(import.meta.url);

function fontFile(family: 'literata' | 'atkinson-hyperlegible-next', weight: string): string {
  const home = dirname(require.resolve(`@expo-google-fonts/${family}/package.json`));
  const name = family === 'literata' ? 'Literata' : 'AtkinsonHyperlegibleNext';
  return join(home, weight, `${name}_${weight}.ttf`);
}

/** Literata for records, Atkinson Hyperlegible Next for marks and numbers; both OFL. */
const FONTS = {
  serif: () => fontFile('literata', '400Regular'),
  'serif-bold': () => fontFile('literata', '600SemiBold'),
  'serif-italic': () => fontFile('literata', '400Regular_Italic'),
  sans: () => fontFile('atkinson-hyperlegible-next', '400Regular'),
  'sans-bold': () => fontFile('atkinson-hyperlegible-next', '700Bold'),
} as const;

export type FontName = keyof typeof FONTS;

export interface PdfOptions {
  readonly title: string;
  /** Written as the file's date; never the clock's. */
  readonly date: Date;
  readonly subject?: string;
}

/** Begins a document without pages. */
export function openPdf({ title, date, subject }: PdfOptions): Pdf {
  const doc = new PDFDocument({
    autoFirstPage: false,
    bufferPages: true,
    pdfVersion: '1.7',
    // The archive form of PDF: fonts embedded, colours by profile, dates in XMP. No validator for it
    // is on npm, so this is what the writer says of itself, not a finding of ours.
    subset: 'PDF/A-2b',
    // None: a font that is opened by its path as well as by its name below is read anew at each use of the
    // name, which was a third of the time of a long record.
    font: '',
    lang: 'en',
    displayTitle: true,
    info: {
      Title: title,
      ...(subject !== undefined && { Subject: subject }),
      Producer: 'Mullion',
      Creator: 'Mullion',
      CreationDate: date,
      ModDate: date,
    },
  });
  for (const [name, file] of Object.entries(FONTS)) doc.registerFont(name, file());
  return doc;
}

/** Ends the document and gives its bytes. */
export async function closePdf(doc: Pdf): Promise<Uint8Array> {
  const chunks: Uint8Array[] = [];
  const done = new Promise<void>((resolve, reject) => {
    doc.on('data', (chunk: Uint8Array) => chunks.push(chunk));
    doc.on('end', resolve);
    doc.on('error', reject);
  });
  doc.end();
  await done;
  const bytes = new Uint8Array(chunks.reduce((sum, chunk) => sum + chunk.length, 0));
  let at = 0;
  for (const chunk of chunks) {
    bytes.set(chunk, at);
    at += chunk.length;
  }
  return bytes;
}

export interface TextStyle {
  readonly font: FontName;
  readonly sizePt: number;
  readonly colour: string;
}

/** One line of text, its baseline box's top left at (x, y) mm; never wraps. */
export function putLine(
  doc: Pdf,
  text: string,
  xMm: number,
  yMm: number,
  { font, sizePt, colour }: TextStyle,
  options: { widthMm?: number; align?: 'left' | 'right' | 'center'; spacing?: number } = {},
): void {
  doc.font(font).fontSize(sizePt).fillColor(colour);
  doc.text(text, xMm * PT_PER_MM, yMm * PT_PER_MM, {
    lineBreak: false,
    align: options.align ?? 'left',
    ...(options.widthMm !== undefined && { width: options.widthMm * PT_PER_MM }),
    ...(options.spacing !== undefined && { characterSpacing: options.spacing }),
  });
}

export interface StrokeStyle {
  readonly widthMm: number;
  readonly colour: string;
  readonly dashMm?: readonly number[];
}

/** Strokes a polyline given in millimetres. */
export function strokeLine(
  doc: Pdf,
  line: readonly (readonly [number, number])[],
  style: StrokeStyle,
): void {
  tracePath(doc, line, false);
  strokePath(doc, style);
}

/** Strokes a curve given in millimetres. */
export function strokeCurve(doc: Pdf, curve: Curve, style: StrokeStyle): void {
  traceCurve(doc, curve, false);
  strokePath(doc, style);
}

function strokePath(doc: Pdf, { widthMm, colour, dashMm }: StrokeStyle): void {
  doc
    .lineWidth(widthMm * PT_PER_MM)
    .strokeColor(colour)
    .lineJoin('round');
  if (dashMm !== undefined && dashMm.length > 0) {
    // An odd list would repeat as its double; ours are pairs.
    const [first, ...rest] = dashMm.map((mm) => mm * PT_PER_MM);
    doc.dash([first!, ...rest] as unknown as number, {});
  }
  doc.stroke();
  if (dashMm !== undefined && dashMm.length > 0) doc.undash();
}

/** Adds a ring or polyline in millimetres to the current path. */
export function tracePath(
  doc: Pdf,
  points: readonly (readonly [number, number])[],
  isClosed: boolean,
): void {
  points.forEach(([x, y], i) => {
    if (i === 0) doc.moveTo(x * PT_PER_MM, y * PT_PER_MM);
    else doc.lineTo(x * PT_PER_MM, y * PT_PER_MM);
  });
  if (isClosed) doc.closePath();
}
