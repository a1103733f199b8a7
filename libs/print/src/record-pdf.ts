/** Condition and treatment records as PDF on A4. Identical input gives identical bytes. */
import { boundsMm } from '#libs/net';
import {
  type Block,
  type DrawingPlan,
  ELEVATION_ROOM_MM,
  type Fact,
  fittingScale,
  layOutRecord,
  type MullionRecord,
  NOT_RECORDED,
  partShown,
  planDrawing,
  type RecordImage,
  type RecordLayout,
  type RecordOptions,
  ROUGH_TAG_MM,
} from '#libs/records';
import { findingTerm } from '#libs/vocabulary';
import { drawFinding, drawSwatch } from './draw-sign.js';
import { fillNet } from './fill-net.js';
import { BOTTOM, Flow, type FlowStyle, LEFT, PAGE_HEIGHT, RIGHT, TOP, WIDTH } from './page-flow.js';
import { INK, pt } from './paper.js';
import { closePdf, openPdf, type Pdf, putLine, strokeLine, tracePath } from './pdf-page.js';

const LABEL_WIDTH = 40;

type Xy = readonly [x: number, y: number];

/** Bytes of the record. The file's date is the record's own, never the clock's. */
export async function recordPdf(
  record: MullionRecord,
  options: RecordOptions = {},
): Promise<Uint8Array> {
  return layoutPdf(
    layOutRecord(record, options),
    new Date(record.version.recordedAt ?? '2000-01-01T00:00:00Z'),
  );
}

/** Bytes of anything that is laid out as a record is. @param date of the file */
export async function layoutPdf(layout: RecordLayout, date: Date): Promise<Uint8Array> {
  const doc = openPdf({
    title: `${layout.mark}, ${layout.title.toLowerCase()}`,
    subject: layout.lead,
    date,
  });
  const flow = new Flow(doc);
  drawHead(flow, layout);
  for (const block of layout.blocks) drawBlock(flow, block);
  drawSeal(flow, layout.seal);
  drawFeet(doc, layout);
  return closePdf(doc);
}

const BODY: FlowStyle = { font: 'serif', sizePt: 9.5, colour: INK.text, lineGapPt: 1.2 };
const BODY_BOLD: FlowStyle = { ...BODY, font: 'serif-bold' };
const MISSING: FlowStyle = { ...BODY, font: 'serif-italic', colour: INK.dim };
const LABEL: FlowStyle = { font: 'sans', sizePt: 8.5, colour: INK.dim, lineGapPt: 1 };
const SMALL: FlowStyle = { font: 'sans', sizePt: 8, colour: INK.dim, lineGapPt: 1 };

function drawHead(flow: Flow, { mark, title, lead }: RecordLayout): void {
  flow.title(mark, title, INK.dim);
  if (lead !== '') flow.y += flow.text(lead, LEFT, flow.y, WIDTH, BODY) + 2;
  flow.y += 1;
  flow.rule(INK.text, 0.4);
  flow.y += 1;
}

function drawBlock(flow: Flow, block: Block): void {
  switch (block.kind) {
    case 'facts':
      flow.heading(block.heading, 14);
      drawFacts(flow, block.facts);
      return;
    case 'class':
      drawClass(flow, block);
      return;
    case 'drawing':
      drawDrawing(flow, block);
      return;
    case 'elevation':
      drawElevation(flow, block);
      return;
    case 'legend':
      drawLegend(flow, block);
      return;
    case 'observations':
      flow.heading(block.heading, 16);
      if (block.rows.length === 0) drawNone(flow, 'none recorded');
      for (const row of block.rows) {
        drawRow(flow, {
          number: row.number,
          sign: row.term,
          head: row.what,
          tail: `, ${row.where}${row.extent === null ? '' : `: ${row.extent}`}`,
          note: row.note,
          small: [
            ['seen by', row.who],
            ['when', row.when],
            ['images', row.evidence],
          ],
        });
      }
      return;
    case 'steps':
      flow.heading(block.heading, 16);
      if (block.rows.length === 0) drawNone(flow, 'none recorded');
      for (const row of block.rows) {
        drawRow(flow, {
          number: row.number,
          sign: null,
          head: row.what,
          tail: row.where === '' ? '' : `, ${row.where}`,
          note: row.note,
          small: [
            ['material', row.material],
            ['by', row.who],
            ['when', row.when],
            ['undoing', row.reversibility],
          ],
        });
      }
      return;
    case 'images':
      drawImages(flow, block.heading, block.images);
      return;
    case 'cautions':
      drawCautions(flow, block);
  }
}

function drawFacts(flow: Flow, facts: readonly Fact[]): void {
  const width = WIDTH - LABEL_WIDTH;
  for (const { label, text } of facts) {
    const style = text === null ? MISSING : BODY;
    flow.parts(text ?? NOT_RECORDED, width, style).forEach((part, at) => {
      const height = Math.max(
        flow.height(part, width, style),
        flow.height(label, LABEL_WIDTH - 3, LABEL),
      );
      flow.need(height + 3);
      if (at === 0) {
        flow.rule();
        flow.y += 1.3;
        flow.text(label, LEFT, flow.y + 0.3, LABEL_WIDTH - 3, LABEL);
      }
      flow.text(part, LEFT + LABEL_WIDTH, flow.y, width, style);
      flow.y += height + 1.2;
    });
  }
}

function drawNone(flow: Flow, text: string): void {
  flow.rule();
  flow.y += 1.3;
  flow.y += flow.text(text, LEFT, flow.y, WIDTH, MISSING) + 1.2;
}

function drawClass(flow: Flow, block: Extract<Block, { kind: 'class' }>): void {
  const x = LEFT + 20;
  const width = WIDTH - 20;
  const words = `${block.label}: ${block.meaning}`;
  const reasons = block.reasons.map((reason) => `–  ${reason}`);
  const height =
    flow.height(words, width, BODY) +
    reasons.reduce((sum, reason) => sum + flow.height(reason, width, BODY) + 0.6, 0);
  flow.heading(block.heading, height + 6);
  flow.rule();
  flow.y += 2.5;
  putLine(
    flow.doc,
    block.value,
    LEFT,
    flow.y - 1,
    { font: 'sans-bold', sizePt: 28, colour: INK.stain },
    { widthMm: 15, align: 'center' },
  );
  let y = flow.y;
  y += flow.text(words, x, y, width, BODY_BOLD) + 0.8;
  for (const reason of reasons) y += flow.text(reason, x, y, width, BODY) + 0.6;
  flow.y = Math.max(y, flow.y + 11);
}

function drawDrawing(flow: Flow, block: Extract<Block, { kind: 'drawing' }>): void {
  const { drawing, observations } = block;
  const captionHeight = flow.height(block.caption, WIDTH, SMALL);
  // Heading, scale bar and caption take this much beside the drawing itself.
  const around = 7 + 8 + 10 + captionHeight;
  const rough = partShown(drawing, ROUGH_TAG_MM);
  const onOwnPage = fittingScale(rough, [WIDTH, BOTTOM - TOP - around]);
  const left = BOTTOM - flow.y - around;
  const here = left < 60 ? Infinity : fittingScale(rough, [WIDTH, left]);
  // Smaller on this page is better than a page half empty, up to a limit.
  const scale = here <= 1.6 * onOwnPage ? here : onOwnPage;
  const plan = planDrawing(drawing, observations, 5 * scale);
  const [width, height] = [plan.widthMm / scale, plan.heightMm / scale];
  flow.heading(block.heading, height + 12 + captionHeight);
  const leftMm = LEFT + (WIDTH - width) / 2;
  const top = flow.y;
  const place = ([x, y]: Xy): Xy => [
    leftMm + (x - plan.leftMm) / scale,
    top + (y - plan.topMm) / scale,
  ];
  const { doc } = flow;
  doc.save();
  doc.rect(pt(leftMm), pt(top), pt(width), pt(height)).clip();
  drawNet(doc, block, scale, place);
  for (const { term, geometry } of observations) {
    const known = findingTerm(term);
    if (known !== undefined && geometry !== null) {
      drawFinding(doc, known, geometry.kind, geometry.xyMm.map(place));
    }
  }
  doc.restore();
  drawTags(doc, plan, place);
  flow.y = top + height + 2;
  drawScale(doc, plan, scale, leftMm, flow.y, width);
  flow.y += 7.5;
  flow.y += flow.text(block.caption, LEFT, flow.y, WIDTH, SMALL);
}

function drawNet(
  doc: Pdf,
  { drawing }: Extract<Block, { kind: 'drawing' }>,
  scale: number,
  place: (xy: Xy) => Xy,
): void {
  const { net, outlineMm, focusPieceId } = drawing;
  if (net === null) {
    tracePath(doc, (outlineMm ?? []).map(place), true);
    doc.lineWidth(pt(0.5)).strokeColor(INK.leadEdge).stroke();
    return;
  }
  fillNet(doc, net, place);
  const focus = net.pieces.find((piece) => piece.pieceId === focusPieceId);
  for (const ring of focus?.sightRingsMm ?? []) {
    tracePath(doc, ring.map(place), true);
    doc.lineWidth(pt(0.8)).strokeColor(INK.stain).stroke();
  }
  for (const { pieceId, labelMm, labelRadiusMm } of net.pieces) {
    if (labelRadiusMm <= 1.4 * scale) continue;
    const [x, y] = place(labelMm);
    putLine(
      doc,
      pieceId,
      x - 10,
      y - 1.3,
      { font: 'sans', sizePt: 7, colour: INK.dim },
      { widthMm: 20, align: 'center' },
    );
  }
}

function drawTags(doc: Pdf, plan: DrawingPlan, place: (xy: Xy) => Xy): void {
  for (const { number, atMm, toMm } of plan.tags) {
    const at = place(atMm);
    strokeLine(doc, [at, place(toMm)], { widthMm: 0.2, colour: INK.text });
    doc
      .circle(pt(at[0]), pt(at[1]), pt(2.5))
      .lineWidth(pt(0.25))
      .fillAndStroke('#ffffff', INK.text);
    putLine(
      doc,
      String(number),
      at[0] - 5,
      at[1] - 1.65,
      { font: 'sans-bold', sizePt: 8.5, colour: INK.text },
      { widthMm: 10, align: 'center' },
    );
  }
}

function drawElevation(flow: Flow, block: Extract<Block, { kind: 'elevation' }>): void {
  const { mark, openingRingMm, panels } = block.elevation;
  const box = boundsMm([...openingRingMm, ...panels.flatMap((panel) => panel.ringMm)]);
  const [widthMm, heightMm] = [box.maxX - box.minX, box.maxY - box.minY];
  const scale = fittingScale({ widthMm, heightMm }, ELEVATION_ROOM_MM);
  const captionHeight = flow.height(block.caption, WIDTH, SMALL);
  flow.heading(block.heading, heightMm / scale + captionHeight + 10);
  const { doc } = flow;
  const left = LEFT + (WIDTH - widthMm / scale) / 2;
  const top = flow.y + 1;
  const place = ([x, y]: Xy): Xy => [left + (x - box.minX) / scale, top + (y - box.minY) / scale];
  tracePath(doc, openingRingMm.map(place), true);
  doc.lineWidth(pt(0.5)).strokeColor(INK.leadEdge).stroke();
  const pen = (isSubject: boolean) => {
    doc.lineWidth(pt(isSubject ? 0.9 : 0.15)).strokeColor(isSubject ? INK.stain : INK.leadEdge);
  };
  // The subject last, so that its outline lies on top of its neighbours'.
  for (const panel of panels.toSorted((a, b) => Number(a.isSubject) - Number(b.isSubject))) {
    tracePath(doc, panel.ringMm.map(place), true);
    pen(panel.isSubject);
    doc.fillAndStroke(
      panel.findings > 0 ? '#ead9b4' : '#ffffff',
      panel.isSubject ? INK.stain : INK.leadEdge,
    );
    if (panel.findings === 0) continue;
    const own = boundsMm(panel.ringMm);
    const [x, y] = place([(own.minX + own.maxX) / 2, (own.minY + own.maxY) / 2]);
    const sizeMm = Math.min(3, (0.7 * (own.maxY - own.minY)) / scale);
    putLine(
      doc,
      String(panel.findings),
      x - 5,
      y - sizeMm * 0.55,
      { font: 'sans-bold', sizePt: pt(sizeMm), colour: INK.text },
      { widthMm: 10, align: 'center' },
    );
  }
  flow.y = top + heightMm / scale + 2;
  putLine(
    doc,
    `${mark}, 1 : ${scale}`,
    LEFT,
    flow.y,
    { font: 'sans', sizePt: 7.5, colour: INK.dim },
    { widthMm: WIDTH, align: 'center' },
  );
  flow.y += 5;
  flow.y += flow.text(block.caption, LEFT, flow.y, WIDTH, SMALL);
}

function drawScale(
  doc: Pdf,
  { scaleBarMm }: DrawingPlan,
  scale: number,
  x: number,
  y: number,
  width: number,
): void {
  const length = scaleBarMm / scale;
  doc.rect(pt(x), pt(y), pt(length), pt(1.4)).lineWidth(pt(0.15)).strokeColor(INK.text).stroke();
  for (const i of [0, 2, 4]) {
    doc.rect(pt(x + (i * length) / 5), pt(y), pt(length / 5), pt(1.4)).fill(INK.text);
  }
  const style = { font: 'sans', sizePt: 7.5, colour: INK.dim } as const;
  putLine(doc, '0', x, y + 2.2, style);
  putLine(doc, `${scaleBarMm} mm`, x + length - 20, y + 2.2, style, {
    widthMm: 20,
    align: 'right',
  });
  putLine(doc, `1 : ${scale}`, x, y + 2.2, style, { widthMm: width, align: 'right' });
}

function drawLegend(flow: Flow, block: Extract<Block, { kind: 'legend' }>): void {
  const columns = 2;
  const width = WIDTH / columns;
  const textWidth = width - 24;
  const rows = Math.ceil(block.terms.length / columns);
  const heights = Array.from({ length: rows }, (_, row) =>
    Math.max(
      8,
      ...block.terms
        .slice(row * columns, (row + 1) * columns)
        .map((term) => 5.4 + flow.height(term.definition, textWidth, SMALL)),
    ),
  );
  const whole = heights.reduce((sum, height) => sum + height + 1, 0);
  flow.heading(block.heading, whole < 110 ? whole : heights[0]!);
  heights.forEach((height, row) => {
    flow.need(height);
    block.terms.slice(row * columns, (row + 1) * columns).forEach((term, column) => {
      const x = LEFT + column * width;
      drawSwatch(flow.doc, term, x, flow.y + 0.6);
      flow.text(term.label, x + 20, flow.y, textWidth, BODY_BOLD);
      flow.text(term.definition, x + 20, flow.y + 4.4, textWidth, SMALL);
    });
    flow.y += height + 1;
  });
}

interface Row {
  readonly number: number;
  readonly sign: Parameters<typeof drawSwatch>[1] | null;
  readonly head: string;
  readonly tail: string;
  readonly note: string | null;
  readonly small: readonly (readonly [label: string, text: string | null])[];
}

function drawRow(flow: Flow, { number, sign, head, tail, note, small }: Row): void {
  const x = LEFT + (sign === null ? 11 : 30);
  const width = RIGHT - x;
  const smallText = small.map(([label, text]) => `${label} ${text ?? NOT_RECORDED}`).join('  ·  ');
  const headHeight = flow.height(`${head}${tail}`, width, BODY_BOLD);
  const notes = note === null ? [] : flow.parts(note, width, BODY);
  const smallHeight = flow.height(smallText, width, SMALL);
  const firstNote = notes[0] === undefined ? 0 : flow.height(notes[0], width, BODY);
  flow.need(headHeight + firstNote + (notes.length > 1 ? 0 : smallHeight) + 4);
  flow.rule();
  flow.y += 1.8;
  putLine(flow.doc, String(number), LEFT, flow.y - 0.4, {
    font: 'sans-bold',
    sizePt: 11,
    colour: INK.text,
  });
  if (sign !== null) drawSwatch(flow.doc, sign, LEFT + 10, flow.y - 0.4);
  // Bold words, then the rest of the sentence in the same lines.
  flow.doc
    .font('serif-bold')
    .fontSize(BODY.sizePt)
    .fillColor(INK.text)
    .text(head, pt(x), pt(flow.y), {
      width: pt(width),
      lineGap: BODY.lineGapPt ?? 0,
      continued: tail !== '',
    });
  if (tail !== '')
    flow.doc.font('serif').text(tail, { width: pt(width), lineGap: BODY.lineGapPt ?? 0 });
  flow.y += headHeight;
  for (const part of notes) {
    flow.need(flow.height(part, width, BODY));
    flow.y += flow.text(part, x, flow.y, width, BODY) + 0.4;
  }
  flow.need(smallHeight + 2);
  flow.y += flow.text(smallText, x, flow.y + 0.2, width, SMALL) + 1.8;
}

function drawImages(flow: Flow, heading: string, images: readonly RecordImage[]): void {
  if (images.length === 0) {
    flow.heading(heading, 8);
    drawNone(flow, NOT_RECORDED);
    return;
  }
  const gap = 6;
  const width = (WIDTH - gap) / 2;
  for (let i = 0; i < images.length; i += 2) {
    const pair = images.slice(i, i + 2).map((image) => layOutImage(flow, image, width));
    const height = Math.max(...pair.map((one) => one.pictureMm + one.textMm)) + 6;
    if (i === 0) flow.heading(heading, height);
    else flow.need(height);
    pair.forEach((one, column) => {
      const x = LEFT + column * (width + gap);
      let { y } = flow;
      if (one.picture !== null) {
        const { bytes, widthMm, heightMm } = one.picture;
        // A typed array of another realm is refused by the JPEG reader: hand it a Buffer.
        flow.doc.image(Buffer.from(bytes), pt(x), pt(y), {
          width: pt(widthMm),
          height: pt(heightMm),
        });
        y += one.pictureMm;
      }
      y += flow.text(one.name, x, y, width, { ...SMALL, font: 'sans-bold', colour: INK.text });
      y += flow.text(one.about, x, y, width, SMALL);
      flow.text(one.digest, x, y, width, { ...SMALL, sizePt: 6.5 });
    });
    flow.y += height;
  }
}

function layOutImage(flow: Flow, image: RecordImage, width: number) {
  const about = [
    image.light ?? `light ${NOT_RECORDED}`,
    image.face === null ? `face ${NOT_RECORDED}` : `${image.face} face`,
    ...(image.stage === null ? [] : [image.stage]),
    image.happened ?? `date ${NOT_RECORDED}`,
    ...(image.scale === null ? [] : [image.scale]),
  ].join(', ');
  const picture = image.previewJpeg === undefined ? null : fitPicture(image.previewJpeg, width);
  return {
    picture,
    pictureMm: picture === null ? 0 : picture.heightMm + 2,
    name: image.fileName,
    about,
    digest: image.digest,
    textMm:
      flow.height(image.fileName, width, { ...SMALL, font: 'sans-bold' }) +
      flow.height(about, width, SMALL) +
      flow.height(image.digest, width, { ...SMALL, sizePt: 6.5 }),
  };
}

function fitPicture(bytes: Uint8Array, width: number) {
  const { widthPx, heightPx } = jpegSize(bytes);
  const heightMm = Math.min(90, (width * heightPx) / widthPx);
  return { bytes, widthMm: (heightMm * widthPx) / heightPx, heightMm };
}

/**
 * Size from a JPEG's frame header.
 * Source: ITU-T T.81, B.2.2 (from memory): markers C0-CF but C4, C8, CC begin a frame.
 */
function jpegSize(bytes: Uint8Array): { widthPx: number; heightPx: number } {
  let at = 2;
  while (at + 9 < bytes.length) {
    if (bytes[at] !== 0xff) break;
    const marker = bytes[at + 1]!;
    const isFrame =
      marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc;
    if (isFrame) {
      return {
        heightPx: bytes[at + 5]! * 256 + bytes[at + 6]!,
        widthPx: bytes[at + 7]! * 256 + bytes[at + 8]!,
      };
    }
    at += 2 + bytes[at + 2]! * 256 + bytes[at + 3]!;
  }
  throw new Error('a preview of the record is not a JPEG');
}

function drawCautions(flow: Flow, block: Extract<Block, { kind: 'cautions' }>): void {
  flow.heading(block.heading, 16);
  const width = WIDTH - 5;
  for (const { hazard, text } of block.items) {
    const head = `${hazard}. `;
    const height = flow.height(`${head}${text}`, width, BODY);
    flow.need(height + 3);
    flow.doc.rect(pt(LEFT), pt(flow.y), pt(0.9), pt(height - 0.5)).fill(INK.stain);
    flow.doc
      .font('serif-bold')
      .fontSize(BODY.sizePt)
      .fillColor(INK.text)
      .text(head, pt(LEFT + 5), pt(flow.y), {
        width: pt(width),
        lineGap: BODY.lineGapPt ?? 0,
        continued: true,
      });
    flow.doc.font('serif').text(text, { width: pt(width), lineGap: BODY.lineGapPt ?? 0 });
    flow.y += height + 2.5;
  }
  const style: FlowStyle = { ...BODY, font: 'serif-italic' };
  flow.need(flow.height(block.deferral, WIDTH, style) + 2);
  flow.y += flow.text(block.deferral, LEFT, flow.y + 0.5, WIDTH, style) + 2;
}

function drawSeal(flow: Flow, facts: readonly Fact[]): void {
  const width = WIDTH - LABEL_WIDTH;
  const rows = facts.reduce(
    (sum, { text }) => sum + flow.height(text ?? NOT_RECORDED, width, BODY) + 2.5,
    0,
  );
  flow.need(rows + 20);
  flow.y += 8;
  flow.rule(INK.text, 0.4);
  flow.y += 4;
  putLine(flow.doc, 'Where this record stands', LEFT, flow.y, {
    font: 'serif-bold',
    sizePt: 12,
    colour: INK.text,
  });
  flow.y += 7.5;
  drawFacts(flow, facts);
}

function drawFeet(doc: Pdf, { mark, title, seal }: RecordLayout): void {
  const { count } = doc.bufferedPageRange();
  const fingerprint = seal.find((fact) => fact.label === 'Key fingerprint')?.text ?? null;
  const style = { font: 'sans', sizePt: 7.5, colour: INK.dim } as const;
  for (let page = 0; page < count; page++) {
    doc.switchToPage(page);
    const y = PAGE_HEIGHT - 13;
    putLine(doc, `${mark} · ${title.toLowerCase()}`, LEFT, y, style);
    putLine(doc, `${page + 1} of ${count}`, LEFT, y, style, { widthMm: WIDTH, align: 'right' });
    putLine(
      doc,
      fingerprint === null ? 'no key fingerprint' : `key ${fingerprint}`,
      LEFT,
      y,
      style,
      { widthMm: WIDTH, align: 'center' },
    );
  }
}
