/** Flattening by the strips of the printed target sheet: no taps, no tape. */
import type { Flattening } from './flattening.js';
import type { GreyImage } from './grey-image.js';
import { type Homography, invertHomography, multiply, project } from './homography.js';
import { largestRoom } from './largest-room.js';
import { distort, undistort } from './lens.js';
import { lensDoubt, midSheetMm } from './lens-report.js';
import { calibrationSource, UNKNOWN_LENS } from './lens-sources.js';
import { RubbingError } from './rubbing-error.js';
import type { RubbingControl, RubbingSheet } from './sheet.js';
import { findTags } from './tag-finder.js';
import { type SeenStrip, stripBody, stripsOf } from './target-bodies.js';
import { bundleTargets, type LensChoice, type TargetBundle } from './target-bundle.js';

/** A printed strip lies flat and in its scale to this, where it was not measured: common practice, no source. */
const PRINT_SIGMA = 0.002;
const MEASURED_PRINT_SIGMA_MM = 0.3;
/** A corner farther than this from the fit does not belong to a flat sheet. */
const MOST_RESIDUAL_MM = 0.8;
const CELL_MM = 1.5;
/** Room left round a strip, so that its own edge is not read as lead. */
const STRIP_ROOM_MM = 0.5;

/** @throws RubbingError when too few strips are seen, or they do not lie flat in one plane */
export function flattenByTargets(
  sheet: RubbingSheet,
  control: Extract<RubbingControl, { kind: 'target_sheet' }>,
  grey: GreyImage,
): Flattening {
  const { image } = sheet;
  const strips = stripsOf(tagsIn(grey)).filter(({ tags }) => tags.length >= 2);
  const tagCount = strips.reduce((s, { tags }) => s + tags.length, 0);
  if (strips.length < 2 || tagCount < 6) {
    throw new RubbingError(
      'marks-too-few',
      tagCount === 0
        ? 'No strip of the target sheet was found in the picture: lay its strips round the panel, printed side up, or choose another way to give the scale.'
        : `Only ${tagCount} tags on ${strips.length} strip${strips.length === 1 ? '' : 's'} of the target sheet can be read; lay one strip along each side of the panel, in the light and not covered.`,
      { tags: tagCount, strips: strips.length },
    );
  }
  const { layout } = strips[0]!;
  const printScale = printScaleOf(control, strips);
  const known = calibrationSource(image);
  const k2 = image.lens?.k2 ?? 0;
  const choice: LensChoice = known
    ? { k1: known.k1, sigmaK1: known.sigma, k2, sigmaK2: 0.002 }
    : { k1: 0, sigmaK1: UNKNOWN_LENS.sigma, k2: 0, sigmaK2: 0.003 };
  const bodies = strips.map((s) => stripBody(s, printScale));
  const bundle = bundleTargets(bodies, image, choice);
  const pxPerMm = scaleAt(bundle.imageFromPlane, 0, 0);
  const residualMm = bundle.residualsPx.map((r) => rootMeanSquare(r) / pxPerMm);
  const worst = residualMm.indexOf(Math.max(...residualMm));
  if (residualMm[worst]! > MOST_RESIDUAL_MM) {
    // the strip without which the others fit best is the one that lies wrong
    const without = (k: number): number =>
      bundleTargets(
        bodies.filter((_, i) => i !== k),
        image,
        choice,
      ).rmsPx;
    const rms = strips.length > 2 ? strips.map((_, k) => without(k)) : residualMm.map((r) => -r);
    const { name } = strips[rms.indexOf(Math.min(...rms))]!.strip;
    throw new RubbingError(
      'marks-disagree',
      `Strip ${name} of the target sheet does not lie in one plane with the others (${residualMm[worst]!.toFixed(1)} mm off): lay it flat on the sheet and whole in the picture.`,
      { mark: name, residualMm: residualMm[worst]! },
    );
  }
  // upright as the strips lie: they are laid along the panel's sides
  const frame = frameOf(bundle);
  const imageFromPanel = multiply(bundle.imageFromPlane, frame).map((v, _, all) => v / all[8]!);
  const panelFromImage = invertHomography(imageFromPanel);
  const panelOf = (u: number, v: number): [number, number] =>
    project(panelFromImage, ...undistort(bundle.lens, u, v));
  const extentMm = roomBetween(sheet, strips, bundle, printScale, frame, panelOf);
  const { lens } = bundle;
  const corner = (x: number, y: number): [number, number] =>
    distort(lens, ...project(imageFromPanel, x, y));
  const [x0, y0, x1, y1] = extentMm;
  const overMm = Math.hypot(x1 - x0, y1 - y0);
  const lengthSigma = Math.max(
    bundle.lengthSigmaMm(corner(x0, y0), corner(x1, y1)),
    bundle.lengthSigmaMm(corner(x1, y0), corner(x0, y1)),
  );
  const relative =
    control.ruler_mm === undefined ? PRINT_SIGMA : MEASURED_PRINT_SIGMA_MM / layout.rulerMm;
  const seen = strips.flatMap((s) =>
    s.tags.map((tag) => ({ name: `${s.strip.name}/${tag.id}`, tag })),
  );
  const marks = seen.map(({ name, tag }) => {
    const centre = centreOf(tag.cornersPx);
    return { name, imageXyPx: centre, panelXyMm: panelOf(...centre) };
  });
  const doubt = lensDoubt(
    midSheetMm(
      image,
      lens,
      bundle.sigmaK1,
      Float64Array.from(marks.flatMap((m) => m.panelXyMm)),
      Float64Array.from(marks.flatMap((m) => m.imageXyPx)),
    ),
    'the target strips',
  );
  const points = 4 * tagCount;
  return {
    imageFromPanel,
    lens,
    extentMm,
    imagePxPerMm: scaleAt(imageFromPanel, (x0 + x1) / 2, (y0 + y1) / 2),
    marks,
    report: {
      marks: strips.map(({ strip }, b) => ({
        name: strip.name,
        residualMm: residualMm[b]!,
        figure: 'tag' as const,
      })),
      rmsMm: bundle.rmsPx / pxPerMm,
      lens: {
        k1: lens.k1,
        k2: lens.k2,
        sigmaK1: bundle.sigmaK1,
        source: `${tagCount} tags on ${strips.length} strips`,
      },
      worstMark: strips[worst]!.strip.name,
      control: `${strips.length} strips of the target sheet (${layout.paper})`,
      spareMeasurements: 2 * points - 8 - 2 - 3 * (strips.length - 1),
      scale: { plusMinusMm: Math.hypot(lengthSigma, relative * overMm), overMm },
      ...(doubt && { lensDoubt: doubt }),
      notes: notesOf(control, strips, layout.rulerMm),
    },
  };
}

/** Light wax on dark paper is read as a negative; the strips are printed dark on white all the same. */
function tagsIn(grey: GreyImage): ReturnType<typeof findTags> {
  const tags = findTags(grey);
  if (tags.length > 0) return tags;
  return findTags({ ...grey, data: grey.data.map((v) => 255 - v) });
}

function notesOf(
  control: Extract<RubbingControl, { kind: 'target_sheet' }>,
  strips: readonly SeenStrip[],
  rulerMm: number,
): string[] {
  const notes: string[] = [];
  if (control.ruler_mm === undefined) {
    notes.push(
      `The strips were taken as printed at 1:1: measure the ruler on one, it must be ${rulerMm} mm; if it is not, enter what it measures.`,
    );
  }
  if (strips.length < 4) {
    notes.push(
      `${strips.length} strips were seen; with one along each of the four sides the far corner is surer.`,
    );
  }
  return notes;
}

/** @throws RubbingError when the ruler's length cannot be right */
function printScaleOf(
  control: Extract<RubbingControl, { kind: 'target_sheet' }>,
  strips: readonly SeenStrip[],
): number {
  const papers = [...new Set(strips.map((s) => s.layout.paper))];
  if (control.sheet !== undefined && !papers.some((p) => p === control.sheet)) {
    throw new RubbingError(
      'marks-disagree',
      `The strips in the picture are of the ${papers.join(' and ')} sheet, not of ${control.sheet}.`,
      { seen: papers.join(', '), sheet: control.sheet },
    );
  }
  if (control.ruler_mm === undefined) return 1;
  const scale = control.ruler_mm / strips[0]!.layout.rulerMm;
  if (papers.length > 1 || !(Math.abs(scale - 1) < 0.06)) {
    throw new RubbingError(
      'marks-disagree',
      papers.length > 1
        ? `Strips of ${papers.join(' and ')} lie together: one measured ruler cannot stand for both. Use strips of one print.`
        : `The ruler is ${strips[0]!.layout.rulerMm} mm long at 1:1, ${control.ruler_mm} mm was entered: measure from its first to its last stroke, or print again at 100 %.`,
      { rulerMm: control.ruler_mm },
    );
  }
  return scale;
}

/** Turns the frame of the first strip so that the strips on average lie level or upright, as the picture shows them. */
function frameOf(bundle: TargetBundle): Homography {
  let re = 0;
  let im = 0;
  for (const { turn } of bundle.poses) {
    re += Math.cos(4 * turn);
    im += Math.sin(4 * turn);
  }
  const skew = Math.atan2(im, re) / 4;
  const h = bundle.imageFromPlane;
  // quarter turn that brings +x nearest to the picture's right
  const [ox, oy] = project(h, 0, 0);
  const [ax, ay] = project(h, Math.cos(skew), Math.sin(skew));
  const seen = Math.atan2(ay - oy, ax - ox);
  const turn = skew - (Math.PI / 2) * Math.round(seen / (Math.PI / 2));
  const cos = Math.cos(turn);
  const sin = Math.sin(turn);
  return [cos, -sin, 0, sin, cos, 0, 0, 0, 1];
}

function rootMeanSquare(values: Float64Array): number {
  return Math.sqrt(values.reduce((s, v) => s + v * v, 0) / values.length);
}

function scaleAt(h: Homography, x: number, y: number): number {
  const [ox, oy] = project(h, x, y);
  const [ax, ay] = project(h, x + 1, y);
  const [bx, by] = project(h, x, y + 1);
  return Math.sqrt(Math.abs((ax - ox) * (by - oy) - (ay - oy) * (bx - ox)));
}

function centreOf(corners: Float64Array): [number, number] {
  // crossing of the diagonals: the image of the square's own centre
  const [ax, ay, bx, by, cx, cy, dx, dy] = corners as unknown as number[];
  const [ux, uy, vx, vy] = [cx! - ax!, cy! - ay!, dx! - bx!, dy! - by!];
  const t = ((bx! - ax!) * vy - (by! - ay!) * vx) / (ux * vy - uy * vx);
  return [ax! + t * ux, ay! + t * uy];
}

/** The largest upright box of the picture that no strip lies in. */
function roomBetween(
  { image }: RubbingSheet,
  strips: readonly SeenStrip[],
  bundle: TargetBundle,
  printScale: number,
  frame: Homography,
  panelOf: (u: number, v: number) => [number, number],
): [number, number, number, number] {
  const a = panelOf(0, 0);
  const b = panelOf(image.widthPx - 1, 0);
  const c = panelOf(image.widthPx - 1, image.heightPx - 1);
  const d = panelOf(0, image.heightPx - 1);
  const left = Math.max(a[0], d[0]);
  const right = Math.min(b[0], c[0]);
  const top = Math.max(a[1], b[1]);
  const bottom = Math.min(c[1], d[1]);
  const width = Math.max(1, Math.floor((right - left) / CELL_MM));
  const height = Math.max(1, Math.floor((bottom - top) / CELL_MM));
  const taken = new Uint8Array(width * height);
  const back = invertHomography(frame);
  strips.forEach(({ layout }, k) => {
    const pose = bundle.poses[k]!;
    const [w, h] = layout.stripMm.map((v) => v * printScale) as [number, number];
    const r = STRIP_ROOM_MM;
    for (let y = -r; y <= h + r; y += CELL_MM / 3) {
      for (let x = -r; x <= w + r; x += CELL_MM / 3) {
        const [px, py] = project(
          back,
          Math.cos(pose.turn) * x - Math.sin(pose.turn) * y + pose.xMm,
          Math.sin(pose.turn) * x + Math.cos(pose.turn) * y + pose.yMm,
        );
        const i = Math.floor((px - left) / CELL_MM);
        const j = Math.floor((py - top) / CELL_MM);
        if (i >= 0 && j >= 0 && i < width && j < height) taken[j * width + i] = 1;
      }
    }
  });
  const room = largestRoom(taken, width, height) ?? [0, 0, width, height];
  return [
    left + room[0] * CELL_MM,
    top + room[1] * CELL_MM,
    left + room[2] * CELL_MM,
    top + room[3] * CELL_MM,
  ];
}
