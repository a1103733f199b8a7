/** The recovery sheet: one page that brings an archive back when its key or its passphrase is lost. */
import { entryName } from '#libs/ledger';
import { INK, PAPER_MM, pt } from './paper.js';
import { closePdf, openPdf, type Pdf, putLine, strokeLine, type TextStyle } from './pdf-page.js';
import { qrRows, runsOf } from './qr-code.js';

export interface RecoverySheet {
  /** in their order */
  readonly words: readonly string[];
  readonly archiveId: string;
  /** fingerprint of the archive's key when the sheet was made */
  readonly fingerprint: string;
  /** fingerprint of the key that the words make */
  readonly successor: string;
  /** place in the studio's history of the entry that announces it (`entryName` names it) */
  readonly announcedAt: number;
  readonly madeAt: Date;
}

const LEFT = 20;
const WIDTH = PAPER_MM.A4[0] - 2 * LEFT;
const COLUMNS = 3;
const ROW_MM = 8.6;
const QR_MM = 46;

const heading: TextStyle = { font: 'sans-bold', sizePt: 10.5, colour: INK.text };
const body: TextStyle = { font: 'serif', sizePt: 10, colour: INK.text };
const dim: TextStyle = { font: 'sans', sizePt: 8.5, colour: INK.dim };

const HOW = 'How it is used';

/** When it is needed, and what is typed then. */
const COMMANDS: readonly (readonly [string, string])[] = [
  ['the key is lost', 'mullion admin key recover'],
  ['the backup’s passphrase is lost', 'mullion admin restore PLACE --home NEW --words'],
];

const SAID: readonly (readonly [string, readonly string[]])[] = [
  [
    'What it is for',
    [
      'The archive signs its history with a key that lies on its computer. If that computer is lost and no',
      'backup holds the key, these words make the next one, and every check can follow the change.',
      'Backups are sealed to this sheet too: it opens them when their passphrase is forgotten.',
    ],
  ],
  [
    'Where to keep it',
    [
      'Not beside the computer, and not as a photograph: in a safe, with a notary, or with the owner’s papers,',
      'dry and out of the sun. Two copies in two houses are better than one. Tell one other person where.',
      'A newer sheet makes this one void once the next backup is made: tear it up then, and its copies.',
    ],
  ],
  [
    HOW,
    [
      'Both commands ask for the words; the first four letters of each are enough. The code beside them',
      'holds the same words for a reader of QR codes. A new key uses the sheet up, and a new one is printed.',
    ],
  ],
  [
    'If you found it',
    [
      'Give it back to the studio named below, or to whoever looks after its papers, and keep no copy.',
    ],
  ],
];

/** Bytes of the PDF, one upright A4 page. Identical input gives identical bytes. */
export async function recoverySheetPdf(sheet: RecoverySheet): Promise<Uint8Array> {
  const [widthMm, heightMm] = PAPER_MM.A4;
  const doc = openPdf({
    title: 'Recovery sheet',
    date: sheet.madeAt,
    subject: `of the archive ${sheet.archiveId}: secret`,
  });
  doc.addPage({ size: [pt(widthMm), pt(heightMm)], margin: 0 });
  putLine(doc, 'Recovery sheet', LEFT, 18, { font: 'serif-bold', sizePt: 24, colour: INK.text });
  putLine(doc, `Mullion archive ${sheet.archiveId}`, LEFT, 31, dim);
  putLine(doc, `made ${sheet.madeAt.toISOString().slice(0, 10)}`, LEFT, 31, dim, {
    widthMm: WIDTH,
    align: 'right',
  });
  drawCaution(doc, 38);
  drawWords(doc, sheet.words, 58);
  drawCode(doc, sheet.words.join(' '), LEFT + WIDTH - QR_MM, 66);
  let y = drawKeys(doc, sheet, 134);
  for (const [title, lines] of SAID) {
    putLine(doc, title, LEFT, y, heading);
    y += 5.6;
    if (title === HOW) y = drawCommands(doc, y);
    for (const line of lines) {
      putLine(doc, line, LEFT, y, body);
      y += 5;
    }
    y += 3.6;
  }
  drawKept(doc, y + 9);
  return closePdf(doc);
}

function drawCaution(doc: Pdf, y: number): void {
  doc.rect(pt(LEFT), pt(y), pt(WIDTH), pt(14)).fill(INK.faint);
  doc.rect(pt(LEFT), pt(y), pt(1.2), pt(14)).fill(INK.stain);
  putLine(doc, 'Whoever holds this sheet can sign as this archive.', LEFT + 5, y + 2.2, heading);
  putLine(
    doc,
    'It opens the backups as well. Treat it like the key of the house: show it to nobody, send it to nobody.',
    LEFT + 5,
    y + 7.6,
    { ...body, sizePt: 9.5 },
  );
}

function drawWords(doc: Pdf, words: readonly string[], y: number): void {
  const rows = Math.ceil(words.length / COLUMNS);
  const columnMm = (WIDTH - QR_MM - 6) / COLUMNS;
  words.forEach((word, i) => {
    const x = LEFT + Math.floor(i / rows) * columnMm;
    const top = y + (i % rows) * ROW_MM;
    putLine(doc, String(i + 1), x, top + 1.3, dim, { widthMm: 6, align: 'right' });
    putLine(doc, word, x + 8, top, { font: 'sans-bold', sizePt: 13, colour: INK.text });
    strokeLine(
      doc,
      [
        [x + 8, top + 6],
        [x + columnMm - 2, top + 6],
      ],
      { widthMm: 0.12, colour: INK.rule },
    );
  });
}

function drawCode(doc: Pdf, text: string, x: number, y: number): void {
  const rows = qrRows(text);
  const cellMm = QR_MM / rows.length;
  doc.rect(pt(x), pt(y), pt(QR_MM), pt(QR_MM)).fill('#ffffff');
  for (const run of runsOf(rows)) {
    doc.rect(pt(x + run.x * cellMm), pt(y + run.y * cellMm), pt(run.width * cellMm), pt(cellMm));
  }
  doc.fill('#000000');
}

function drawKeys(doc: Pdf, sheet: RecoverySheet, y: number): number {
  const lines: readonly (readonly [string, string])[] = [
    ['The archive’s key when this was made', sheet.fingerprint],
    [`The key these words make, announced at ${entryName(sheet.announcedAt)}`, sheet.successor],
  ];
  let top = y;
  for (const [label, fingerprint] of lines) {
    putLine(doc, label, LEFT, top, dim);
    putLine(doc, fingerprint, LEFT, top + 4.4, {
      font: 'sans-bold',
      sizePt: 11,
      colour: INK.text,
    });
    top += 12;
  }
  return top + 3;
}

function drawCommands(doc: Pdf, y: number): number {
  COMMANDS.forEach(([when, command], at) => {
    putLine(doc, when, LEFT, y + at * 5.6, body);
    putLine(doc, command, LEFT + 56, y + at * 5.6 + 0.4, { ...heading, sizePt: 9.5 });
  });
  return y + COMMANDS.length * 5.6 + 1;
}

function drawKept(doc: Pdf, y: number): void {
  const gap = 6;
  const each = (WIDTH - gap) / 2;
  ['studio', 'kept at', 'since', 'by'].forEach((label, i) => {
    const x = LEFT + (i % 2) * (each + gap);
    const top = y + Math.floor(i / 2) * 16;
    strokeLine(
      doc,
      [
        [x, top],
        [x + each, top],
      ],
      { widthMm: 0.2, colour: INK.dim },
    );
    putLine(doc, label, x, top + 1.2, dim);
  });
}
