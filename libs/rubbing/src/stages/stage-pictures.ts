/** "How was this found?": a picture of every stage of one run, all in one frame, with a caption in plain words. */
import type { DrawnLeads } from '../draw-leads.js';
import type { LeadEvidence } from '../lead-evidence.js';
import type { OneSheet } from '../sheets/join-read-sheets.js';
import { moved } from '../sheets/rigid.js';
import {
  type Canvas,
  copyOf,
  drawLine,
  drawRing,
  drawSpot,
  GROUND,
  LEAD,
  mirroredRgb,
  mix,
  PAPER,
  painted,
  QUIET,
  type Rgb,
  STAIN,
  WARN,
} from './canvas.js';
import type { RubbingStage } from './rubbing-stage.js';
import {
  doubtsCaption,
  flattenedCaption,
  leadsCaption,
  linesCaption,
  mapCaption,
  regionsCaption,
  WIDTH_COLOURS,
  waxCaption,
  widthColour,
} from './stage-captions.js';
import type { StageInput } from './stage-input.js';

/** Fine enough to see the two edges of a came, and seven of them are still made in a moment. */
const MOST_PX_PER_MM = 2;
const MOST_PIXELS = 1.2e6;

/** Colours of glass, in an order in which neighbours differ. */
const GLASS: readonly Rgb[] = [
  [164, 196, 190],
  [226, 196, 128],
  [150, 172, 204],
  [206, 150, 132],
  [186, 202, 148],
  [190, 164, 196],
  [222, 214, 182],
  [134, 182, 158],
];

export function stagePictures(input: StageInput): RubbingStage[] {
  const { one, evidence, drawn } = input;
  const view = viewOf(one);
  const { grey, density } = shrunk(one, view);
  const paperly = ramp((t) => mix(LEAD, PAPER, (255 * t) / 235));
  const waxen = ramp((t) => mix(PAPER, LEAD, 1.25 * t ** 0.75));
  const pale = ramp((t) => mix(PAPER, mix(LEAD, PAPER, (255 * t) / 235), 0.35));
  const faint = painted(view, (i) => pale[grey[i]! | 0]!);
  const cell = cellOf(view, evidence);

  const flattened = painted(view, (i) => paperly[grey[i]! | 0]!);
  drawMarks(flattened, input);
  const wax = painted(view, (i) => waxen[Math.min(255, 255 * density[i]!) | 0]!);
  const map = painted(view, (i) => {
    const c = cell(i);
    const face = mix(PAPER, STAIN, evidence.face.data[c]!);
    const inside = mix(face, LEAD, 0.85 * evidence.centre.data[c]!);
    return mix(inside, GROUND, 0.75 * evidence.outside.data[c]!);
  });
  const regions = painted(view, (i) => {
    const label = drawn.regions.labels[cell(i)]!;
    const colour = label === drawn.regions.outside ? GROUND : GLASS[(label * 5) % GLASS.length]!;
    return mix(colour, LEAD, 0.5 * density[i]!);
  });
  const lines = copyOf(faint);
  const leads = copyOf(faint);
  for (const lead of drawn.sketch.leads) {
    drawLine(lines, lead.lineMm, 1.1, LEAD);
    drawLine(
      leads,
      lead.lineMm,
      lead.faceWidthMm,
      WIDTH_COLOURS[widthColour(lead.faceWidthMm)]!.rgb,
    );
  }
  for (const { xyMm } of drawn.sketch.nodes) drawSpot(lines, xyMm[0], xyMm[1], 2.1, STAIN);
  const doubts = copyOf(faint);
  drawDoubts(doubts, drawn);

  const stage = (
    key: RubbingStage['key'],
    title: string,
    caption: string,
    canvas: Canvas,
  ): RubbingStage => ({
    key,
    title,
    caption,
    widthPx: canvas.widthPx,
    heightPx: canvas.heightPx,
    rgb: input.isMirrored ? mirroredRgb(canvas) : canvas.rgb,
  });
  return [
    stage('flattened', 'Seen square-on', flattenedCaption(input), flattened),
    stage('wax', 'The wax alone', waxCaption(input), wax),
    stage('map', 'Where a came may lie', mapCaption(evidence), map),
    stage('regions', 'Pieces between the leads', regionsCaption(drawn), regions),
    stage('lines', 'Fitted lines', linesCaption(drawn), lines),
    stage('leads', 'Leads at their width', leadsCaption(drawn), leads),
    stage('doubts', 'What to look at', doubtsCaption(drawn), doubts),
  ];
}

/** 256 colours from 0 to 1. */
function ramp(colour: (t: number) => Rgb): Rgb[] {
  return Array.from({ length: 256 }, (_, k) => colour(k / 255));
}

function viewOf(one: OneSheet): Omit<Canvas, 'rgb'> {
  const { width, height } = one.density;
  const shrink = Math.max(
    1,
    Math.ceil(one.pxPerMm / MOST_PX_PER_MM),
    Math.ceil(Math.sqrt((width * height) / MOST_PIXELS)),
  );
  const half = (shrink - 1) / 2 / one.pxPerMm;
  return {
    widthPx: Math.floor(width / shrink),
    heightPx: Math.floor(height / shrink),
    pxPerMm: one.pxPerMm / shrink,
    originMm: [one.originMm[0] + half, one.originMm[1] + half],
  };
}

function shrunk(
  one: OneSheet,
  view: Omit<Canvas, 'rgb'>,
): { grey: Float32Array; density: Float32Array } {
  const k = Math.round(one.pxPerMm / view.pxPerMm);
  const { width, data } = one.density;
  const grey = new Float32Array(view.widthPx * view.heightPx);
  const density = new Float32Array(grey.length);
  for (let y = 0; y < view.heightPx; y++) {
    for (let x = 0; x < view.widthPx; x++) {
      let g = 0;
      let d = 0;
      for (let v = 0; v < k; v++) {
        const row = (y * k + v) * width + x * k;
        for (let u = 0; u < k; u++) {
          g += one.grey[row + u]!;
          d += data[row + u]!;
        }
      }
      grey[y * view.widthPx + x] = g / (k * k);
      density[y * view.widthPx + x] = d / (k * k);
    }
  }
  return { grey, density };
}

/** Index of the evidence cell under a pixel. */
function cellOf(view: Omit<Canvas, 'rgb'>, evidence: LeadEvidence): (i: number) => number {
  const { width, height } = evidence.face;
  const column = Int32Array.from({ length: view.widthPx }, (_, x) =>
    cellAt(view.originMm[0] + x / view.pxPerMm - evidence.originMm[0], evidence.cellsPerMm, width),
  );
  const row = Int32Array.from({ length: view.heightPx }, (_, y) =>
    cellAt(view.originMm[1] + y / view.pxPerMm - evidence.originMm[1], evidence.cellsPerMm, height),
  );
  return (i) => {
    const y = Math.floor(i / view.widthPx);
    return row[y]! * width + column[i - y * view.widthPx]!;
  };
}

function cellAt(mm: number, perMm: number, count: number): number {
  return Math.min(count - 1, Math.max(0, Math.round(mm * perMm)));
}

function drawMarks(canvas: Canvas, { read, one }: StageInput): void {
  read.forEach(({ flattening, flat }, i) => {
    const { place } = one.placed[i]!;
    for (const { panelXyMm } of flattening.marks) {
      const [x, y] = moved(place, panelXyMm[0], panelXyMm[1]);
      drawRing(canvas, x, y, 5, 1.2, STAIN);
    }
    if (read.length === 1) return;
    const [x0, y0] = flat.originMm;
    const x1 = x0 + (flat.width - 1) / flat.pxPerMm;
    const y1 = y0 + (flat.height - 1) / flat.pxPerMm;
    const corners: [number, number][] = [
      [x0, y0],
      [x1, y0],
      [x1, y1],
      [x0, y1],
      [x0, y0],
    ];
    drawLine(
      canvas,
      corners.map(([x, y]) => moved(place, x, y)),
      1,
      STAIN,
    );
  });
}

function drawDoubts(canvas: Canvas, drawn: DrawnLeads): void {
  for (const lead of drawn.sketch.leads) {
    if (lead.doubts.length === 0) drawLine(canvas, lead.lineMm, 1.4, QUIET);
  }
  for (const lead of drawn.sketch.leads) {
    if (lead.doubts.length === 0) continue;
    drawLine(canvas, lead.lineMm, 2.4, WARN);
    const [x, y] = lead.lineMm[lead.lineMm.length >> 1]!;
    drawRing(canvas, x, y, 9, 1.3, WARN);
  }
  for (const { xyMm, radiusMm } of drawn.doubtfulPlaces) {
    drawRing(canvas, xyMm[0], xyMm[1], Math.max(6, radiusMm), 1.6, STAIN);
  }
}
