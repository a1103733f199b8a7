/** What a list is about, drawn small on the list: a panel with the numbers of its pieces, a window with its panels' marks. */
import { boundsMm, FIGURE_RATIO, roomForNumberMm, type XyMm } from '#libs/net';
import { type ChecklistDrawing, fittingScale } from '#libs/records';
import { fillNet } from './fill-net.js';
import { drawNumber } from './net-pdf.js';
import { type Flow, LEFT, WIDTH } from './page-flow.js';
import { INK, pt } from './paper.js';
import { type Pdf, putLine, tracePath } from './pdf-page.js';

/** As high as leaves room for the first lines of the list on the same page. */
const MOST_HIGH_MM = 110;
/** Larger than this no number helps, smaller ones are not read: common practice, no source. */
const NUMBER_MM = { most: 3.2, least: 1.1 } as const;

export function drawListed(flow: Flow, drawing: ChecklistDrawing): void {
  const box = boundsMm(
    drawing.kind === 'panel'
      ? drawing.net.outlineMm
      : [...drawing.openingRingMm, ...drawing.panels.flatMap(({ ringMm }) => ringMm)],
  );
  const [widthMm, heightMm] = [box.maxX - box.minX, box.maxY - box.minY];
  const scale = fittingScale({ widthMm, heightMm }, [WIDTH, MOST_HIGH_MM]);
  flow.need(heightMm / scale + 8);
  const [left, top] = [LEFT + (WIDTH - widthMm / scale) / 2, flow.y];
  const place = ([x, y]: XyMm): XyMm => [
    left + (x - box.minX) / scale,
    top + (y - box.minY) / scale,
  ];
  const { doc } = flow;
  if (drawing.kind === 'panel') {
    fillNet(doc, drawing.net, place);
    for (const { pieceId, labelMm, labelRadiusMm } of drawing.net.pieces)
      putMark(doc, pieceId, place(labelMm), roomForNumberMm(pieceId, labelRadiusMm / scale));
  } else {
    tracePath(doc, drawing.openingRingMm.map(place), true);
    doc.lineWidth(pt(0.4)).strokeColor(INK.text).stroke();
    for (const { mark, ringMm } of drawing.panels) {
      tracePath(doc, ringMm.map(place), true);
      doc.lineWidth(pt(0.2)).strokeColor(INK.leadEdge).stroke();
      const own = boundsMm(ringMm);
      const [wide, high] = [(own.maxX - own.minX) / scale, (own.maxY - own.minY) / scale];
      const middle: XyMm = [(own.minX + own.maxX) / 2, (own.minY + own.maxY) / 2];
      putMark(doc, mark, place(middle), Math.min(0.6 * high, wide / (mark.length * FIGURE_RATIO)));
    }
  }
  flow.y = top + heightMm / scale + 1.5;
  const side = drawing.kind === 'panel' ? ` ${drawing.net.face}` : ' inside';
  putLine(doc, `seen from${side}, 1 : ${scale}`, LEFT, flow.y, CAPTION, {
    widthMm: WIDTH,
    align: 'center',
  });
  flow.y += 7;
}

const CAPTION = { font: 'sans', sizePt: 7.5, colour: INK.text } as const;

/** A mark with its middle there, as high as there is room; where there is none the 1:1 drawing tells it. */
function putMark(doc: Pdf, mark: string, at: XyMm, roomMm: number): void {
  if (roomMm >= NUMBER_MM.least) drawNumber(doc, mark, at, Math.min(NUMBER_MM.most, roomMm));
}
