/** From taps and measurements to the map between panel millimetres and image pixels. */
import type { FlattenReport } from '#libs/net';
import { barEnds } from './bar-ends.js';
import type { GreyImage } from './grey-image.js';
import { fitHomography, type Homography, invertHomography, project } from './homography.js';
import { markCentre } from './mark-centre.js';
import { type PanelMarks, panelMarks } from './panel-marks.js';
import { distort, type Lens, lensFromPaperEdges, lensOf, undistort } from './paper-edges.js';
import { RubbingError } from './rubbing-error.js';
import type { RubbingSheet } from './sheet.js';
import { lidMm } from './sheet-extent.js';

export interface Flattening {
  /** Panel millimetres → image pixels without lens distortion; apply `lens` afterwards. */
  readonly imageFromPanel: Homography;
  readonly lens: Lens;
  /** Box in panel millimetres worth looking at: minX, minY, maxX, maxY. */
  readonly extentMm: readonly [number, number, number, number];
  /** Mean scale of the image over that box. */
  readonly imagePxPerMm: number;
  /** The marks as found in the picture (lens distortion included) and where they lie in the sheet's frame. */
  readonly marks: readonly FoundMark[];
  readonly report: FlattenReport;
}

export interface FoundMark {
  readonly name: string;
  readonly imageXyPx: readonly [number, number];
  readonly panelXyMm: readonly [number, number];
}

/** Image pixel of a place on the panel. */
export function imageXyPx(f: Flattening, xMm: number, yMm: number): [number, number] {
  const [u, v] = project(f.imageFromPanel, xMm, yMm);
  return f.lens.k1 === 0 ? [u, v] : distort(f.lens, u, v);
}

const TICKS_MARGIN_MM = 14;
const CROSS_MARGIN_MM = 6;

/** @throws RubbingError when the marks cannot carry a flattening; the sentence says which and why */
export function flatten(sheet: RubbingSheet, grey: GreyImage): Flattening {
  const { control, image } = sheet;
  const isBar = control.kind === 'scale_bar';
  const wanted = control.kind === 'control_points' ? control.points.length : isBar ? 2 : 4;
  if (sheet.taps.length < wanted) {
    throw new RubbingError(
      'marks-too-few',
      `Tap all ${wanted} marks on the picture; ${sheet.taps.length} came.`,
      { taps: sheet.taps.length, wanted },
    );
  }
  const names =
    control.kind === 'control_points'
      ? control.points.map((p) => p.name)
      : isBar
        ? ['0', 'end']
        : ['A', 'B', 'C', 'D'];
  const taps = Float64Array.from(sheet.taps.slice(0, wanted).flat());
  refuseUnusable(taps, names, image.widthPx, image.heightPx);

  // crosses and the ends of a bar are found again under the tap; corner ticks are taken as tapped
  const px = taps.slice();
  if (control.kind === 'control_points') {
    const first = panelMarks(control, taps);
    const roughPxPerMm = meanScale(first.xyMm, taps);
    for (let k = 0; k < wanted; k++) {
      const found = markCentre(grey, taps[2 * k]!, taps[2 * k + 1]!, roughPxPerMm);
      if (!found) {
        throw new RubbingError(
          'mark-not-found',
          `No cross found near the tap for mark ${names[k]}: tap its centre again on the enlarged picture.`,
          { mark: names[k]! },
        );
      }
      px[2 * k] = found[0];
      px[2 * k + 1] = found[1];
    }
  }

  let lens = lensOf(image, 0);
  let lensSource: string | null = null;
  if (image.dpi === undefined && wanted >= 4) {
    const found = lensFromPaperEdges(image, px.subarray(0, 8));
    if (found) {
      lens = found.lens;
      lensSource = `${found.edges} straight paper edges, ${found.residualPx.toFixed(2)} px`;
    }
  }
  const flat = new Float64Array(px.length);
  for (let k = 0; k < wanted; k++) {
    [flat[2 * k], flat[2 * k + 1]] = undistort(lens, px[2 * k]!, px[2 * k + 1]!);
  }
  const marks = panelMarks(control, flat);
  if (isBar) {
    const rough = meanScale(marks.xyMm, flat);
    return barFlattening(sheet, grey, marks, barEnds(grey, flat, rough), lens);
  }

  refuseCollinear(marks.xyMm, marks.names);
  const imageFromPanel = fitHomography(marks.xyMm, flat);
  const residualMm = judgeMarks(marks, flat, imageFromPanel, image.dpi !== undefined);
  const margin = control.kind === 'control_points' ? CROSS_MARGIN_MM : TICKS_MARGIN_MM;
  let minX = Infinity;
  let minY = Infinity;
  let maxX = -Infinity;
  let maxY = -Infinity;
  for (let k = 0; k < wanted; k++) {
    minX = Math.min(minX, marks.xyMm[2 * k]!);
    maxX = Math.max(maxX, marks.xyMm[2 * k]!);
    minY = Math.min(minY, marks.xyMm[2 * k + 1]!);
    maxY = Math.max(maxY, marks.xyMm[2 * k + 1]!);
  }
  return {
    imageFromPanel,
    lens,
    extentMm: [minX - margin, minY - margin, maxX + margin, maxY + margin],
    imagePxPerMm: meanScale(marks.xyMm, flat),
    marks: foundMarks(marks.names, px, marks.xyMm),
    report: reportOf(marks.names, residualMm, lens, lensSource),
  };
}

function foundMarks(
  names: readonly string[],
  px: ArrayLike<number>,
  mm: ArrayLike<number>,
): FoundMark[] {
  return names.map((name, k) => ({
    name,
    imageXyPx: [px[2 * k]!, px[2 * k + 1]!],
    panelXyMm: [mm[2 * k]!, mm[2 * k + 1]!],
  }));
}

function reportOf(
  names: readonly string[],
  residualMm: Float64Array,
  lens: Lens,
  source: string | null,
): FlattenReport {
  let worst = 0;
  let square = 0;
  for (let k = 0; k < names.length; k++) {
    square += residualMm[k]! ** 2;
    if (residualMm[k]! > residualMm[worst]!) worst = k;
  }
  return {
    marks: names.map((name, k) => ({ name, residualMm: residualMm[k]! })),
    rmsMm: Math.sqrt(square / names.length),
    lens: source === null ? null : { k1: lens.k1, source },
    worstMark: residualMm[worst]! > 0 ? names[worst]! : null,
  };
}

/** A square-on scan with a ruler: a similarity with the picture's own axes. */
function barFlattening(
  sheet: RubbingSheet,
  grey: GreyImage,
  marks: PanelMarks,
  px: Float64Array,
  lens: Lens,
): Flattening {
  const { image } = sheet;
  const pxPerMm = meanScale(marks.xyMm, px);
  if (image.dpi !== undefined && Math.abs(pxPerMm / (image.dpi / 25.4) - 1) > 0.02) {
    throw new RubbingError(
      'marks-disagree',
      `The scale bar gives ${(pxPerMm * 25.4).toFixed(0)} dpi, the scan says ${image.dpi} dpi: check the bar's length and both ends.`,
      { barDpi: pxPerMm * 25.4, dpi: image.dpi },
    );
  }
  const [left, top, right, bottom] = lidMm(grey, pxPerMm);
  return {
    imageFromPanel: [pxPerMm, 0, 0, 0, pxPerMm, 0, 0, 0, 1],
    lens,
    extentMm: [
      left,
      top,
      (image.widthPx - 1) / pxPerMm - right,
      (image.heightPx - 1) / pxPerMm - bottom,
    ],
    imagePxPerMm: pxPerMm,
    marks: foundMarks(
      marks.names,
      px,
      px.map((v) => v / pxPerMm),
    ),
    report: reportOf(marks.names, new Float64Array(marks.names.length), lens, null),
  };
}

/**
 * Residual of each mark in millimetres. Four marks fit a homography exactly, so what is spare is used: the tape's
 * own misfit, the square pixels of a scan, and for more marks each one against the map made without it.
 */
function judgeMarks(
  marks: PanelMarks,
  px: Float64Array,
  imageFromPanel: Homography,
  isScan: boolean,
): Float64Array {
  const n = marks.names.length;
  const out = new Float64Array(n);
  const panelFromImage = invertHomography(imageFromPanel);
  for (let k = 0; k < n; k++) {
    const [x, y] = project(panelFromImage, px[2 * k]!, px[2 * k + 1]!);
    out[k] = Math.hypot(x - marks.xyMm[2 * k]!, y - marks.xyMm[2 * k + 1]!);
    out[k] = Math.max(out[k]!, marks.tapeResidualMm[k]!);
  }
  // without one mark: similarity from the others (scan), or homography from the others (n > 4)
  const limit = 3 * Math.hypot(marks.sigmaMm, isScan ? 0.7 : 0.3);
  if (isScan || n > 4) {
    let best = Infinity;
    let suspect = -1;
    let off = 0;
    const all = isScan
      ? similarityMisfitMm(marks.xyMm, px, -1)
      : homographyMisfitMm(marks.xyMm, px, -1);
    if (all.worst > limit) {
      for (let k = 0; k < n; k++) {
        const without = isScan
          ? similarityMisfitMm(marks.xyMm, px, k)
          : homographyMisfitMm(marks.xyMm, px, k);
        if (without.worst < best) {
          best = without.worst;
          suspect = k;
          off = without.left;
        }
      }
      throw new RubbingError(
        'marks-disagree',
        `Mark ${marks.names[suspect]} is ${off.toFixed(1)} mm from where the others put it: check its tap and its measured place.`,
        { mark: marks.names[suspect]!, residualMm: off },
      );
    }
    if (isScan) for (let k = 0; k < n; k++) out[k] = Math.max(out[k]!, all.each[k]!);
  }
  // a photograph: no camera sees a square more than about twice as wide as high
  const cx = marks.xyMm.reduce((s, v, i) => (i % 2 === 0 ? s + v / n : s), 0);
  const cy = marks.xyMm.reduce((s, v, i) => (i % 2 === 1 ? s + v / n : s), 0);
  const [ox, oy] = project(imageFromPanel, cx, cy);
  const [ax, ay] = project(imageFromPanel, cx + 1, cy);
  const [bx, by] = project(imageFromPanel, cx, cy + 1);
  const a = Math.hypot(ax - ox, ay - oy);
  const b = Math.hypot(bx - ox, by - oy);
  const sine = ((ax - ox) * (by - oy) - (ay - oy) * (bx - ox)) / (a * b);
  if (a / b > 1.6 || b / a > 1.6 || sine < 0.75) {
    throw new RubbingError(
      'marks-disagree',
      `The marks do not fit a photograph of a flat sheet (sides ${(a / b).toFixed(2)} to 1, ${((Math.asin(Math.max(-1, Math.min(1, sine))) * 180) / Math.PI).toFixed(0)}° between them): check that the marks were tapped in their order and their measured places.`,
      { ratio: a / b, sine },
    );
  }
  return out;
}

function similarityMisfitMm(
  mm: Float64Array,
  px: Float64Array,
  skip: number,
): { worst: number; left: number; each: Float64Array } {
  const n = mm.length / 2;
  let mx = 0;
  let my = 0;
  let ux = 0;
  let uy = 0;
  let count = 0;
  for (let k = 0; k < n; k++) {
    if (k === skip) continue;
    mx += mm[2 * k]!;
    my += mm[2 * k + 1]!;
    ux += px[2 * k]!;
    uy += px[2 * k + 1]!;
    count++;
  }
  mx /= count;
  my /= count;
  ux /= count;
  uy /= count;
  let re = 0;
  let im = 0;
  let square = 0;
  for (let k = 0; k < n; k++) {
    if (k === skip) continue;
    const x = px[2 * k]! - ux;
    const y = px[2 * k + 1]! - uy;
    re += x * (mm[2 * k]! - mx) + y * (mm[2 * k + 1]! - my);
    im += x * (mm[2 * k + 1]! - my) - y * (mm[2 * k]! - mx);
    square += x * x + y * y;
  }
  re /= square;
  im /= square;
  const each = new Float64Array(n);
  let worst = 0;
  let left = 0;
  for (let k = 0; k < n; k++) {
    const x = px[2 * k]! - ux;
    const y = px[2 * k + 1]! - uy;
    each[k] = Math.hypot(re * x - im * y + mx - mm[2 * k]!, im * x + re * y + my - mm[2 * k + 1]!);
    if (k === skip) left = each[k]!;
    else worst = Math.max(worst, each[k]!);
  }
  return { worst, left, each };
}

function homographyMisfitMm(
  mm: Float64Array,
  px: Float64Array,
  skip: number,
): { worst: number; left: number; each: Float64Array } {
  const n = mm.length / 2;
  const keep = (v: Float64Array): Float64Array => v.filter((_, i) => i >> 1 !== skip);
  const h = fitHomography(keep(px), keep(mm));
  const each = new Float64Array(n);
  let worst = 0;
  let left = 0;
  for (let k = 0; k < n; k++) {
    const [x, y] = project(h, px[2 * k]!, px[2 * k + 1]!);
    each[k] = Math.hypot(x - mm[2 * k]!, y - mm[2 * k + 1]!);
    if (k === skip) left = each[k]!;
    else worst = Math.max(worst, each[k]!);
  }
  return { worst, left, each };
}

function meanScale(mm: ArrayLike<number>, px: ArrayLike<number>): number {
  const n = mm.length / 2;
  let a = 0;
  let b = 0;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      a += Math.hypot(px[2 * i]! - px[2 * j]!, px[2 * i + 1]! - px[2 * j + 1]!);
      b += Math.hypot(mm[2 * i]! - mm[2 * j]!, mm[2 * i + 1]! - mm[2 * j + 1]!);
    }
  }
  return a / b;
}

function refuseUnusable(
  taps: Float64Array,
  names: readonly string[],
  widthPx: number,
  heightPx: number,
): void {
  const n = taps.length / 2;
  const near = 0.02 * Math.hypot(widthPx, heightPx);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      if (Math.hypot(taps[2 * i]! - taps[2 * j]!, taps[2 * i + 1]! - taps[2 * j + 1]!) < near) {
        throw new RubbingError(
          'marks-coincident',
          `Marks ${names[j]} and ${names[i]} were tapped at the same place: tap each mark once, in order.`,
          { first: names[j]!, second: names[i]! },
        );
      }
    }
  }
  if (n >= 4) refuseCollinear(taps, names);
}

/** Three of four marks on one line leave the flattening undetermined. */
function refuseCollinear(xy: Float64Array, names: readonly string[]): void {
  const n = xy.length / 2;
  if (n > 4) {
    // enough that four of them span a quadrilateral: all on one line is refused
    if (spreadRatio(xy) > 0.02) return;
    throw new RubbingError('marks-collinear', `All marks lie on one line: add marks beside it.`);
  }
  for (let skip = 0; skip < n; skip++) {
    const three = xy.filter((_, i) => i >> 1 !== skip);
    if (spreadRatio(three) < 0.02) {
      const on = names.filter((_, k) => k !== skip).join(', ');
      throw new RubbingError(
        'marks-collinear',
        `Marks ${on} lie on one line, so the sheet cannot be flattened: use the four corners.`,
        { marks: on },
      );
    }
  }
}

/** Smaller over larger principal spread of the points, 0 for points on a line. */
function spreadRatio(xy: Float64Array): number {
  const n = xy.length / 2;
  let mx = 0;
  let my = 0;
  for (let k = 0; k < n; k++) {
    mx += xy[2 * k]! / n;
    my += xy[2 * k + 1]! / n;
  }
  let a = 0;
  let b = 0;
  let c = 0;
  for (let k = 0; k < n; k++) {
    const x = xy[2 * k]! - mx;
    const y = xy[2 * k + 1]! - my;
    a += x * x;
    b += x * y;
    c += y * y;
  }
  const mean = (a + c) / 2;
  const root = Math.sqrt(Math.max(0, ((a - c) / 2) ** 2 + b * b));
  return Math.sqrt(Math.max(0, mean - root) / Math.max(1e-12, mean + root));
}
