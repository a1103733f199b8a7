/** One generated rubbing as a case folder: input.json, clicks.json, its pictures, truth.json. */
import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import sharp from 'sharp';
import { cameField } from './came-field.js';
import { makeCamera, projectToImage } from './camera.js';
import { type Control, type ControlKind, drawControl } from './control-marks.js';
import { makePanel } from './make-panel.js';
import { mirrorSumMm, movedNet } from './panel-changes.js';
import type { PanelNet } from './panel-net.js';
import { photograph } from './photograph.js';
import type { Point } from './polyline.js';
import { printStrips, STRIP_MARGIN_MM } from './printed-strips.js';
import { QUALITIES, type Quality } from './quality.js';
import { type RandomStream, randomStream } from './random-stream.js';
import type { CaseRecipe } from './recipe.js';
import { type Extent, makeSheet, type Sheet } from './sheet.js';
import { sheetTone } from './sheet-tone.js';
import { tracing } from './tracing.js';
import { rubbingTruth, type View } from './truth.js';
import { rubWax, type Wax } from './wax.js';

/** Goes up when the same recipe gives another picture or truth, so that no kept case is used again. */
export const GENERATOR_VERSION = 1;

const CLICK_ERROR_PX = 1.5;
/** Of two halves, each shows this share of the height beyond the middle. */
const OVERLAP_SHARE = 0.13;

interface DrawnSheet {
  sheet: Sheet;
  wax: Wax;
  tone: Float32Array;
}

export async function writeCase(
  recipe: CaseRecipe,
  folder: string,
): Promise<{ pieces: number; megapixels: number }> {
  const key = `${recipe.number}/${recipe.style}/${recipe.quality}`;
  const panelRandom = randomStream(key);
  // A plate is another sheet of the same panel.
  const random = recipe.plate ? panelRandom.branch('plate') : panelRandom;
  const quality: Quality = QUALITIES[recipe.quality];
  const net = makePanel(panelRandom, recipe);
  const isOutside = recipe.outside === true || recipe.plate === true;
  const mirrorSum = isOutside ? mirrorSumMm(net) : undefined;
  const shown =
    mirrorSum === undefined ? net : movedNet(net, ([x, y]): Point => [mirrorSum - x, y]);
  const kind = recipe.control ?? chooseControl(random.branch('control kind'), recipe);
  const pictures = recipe.pictures ?? 'one';
  const control = drawControl(
    random.branch('control'),
    {
      kind,
      noiseMm: recipe.noiseMm,
      halves: pictures === 'two-photographs' || pictures === 'two-sheets',
      dpi: quality.dpi,
    },
    shown,
    outerCorners(shown),
  );
  const sheets = drawnSheets(random, recipe, shown, control, kind, quality);
  const views: View[] = [];
  const images: Record<string, unknown>[] = [];
  const clicks: Record<string, Point[]> = {};
  const hand = random.branch('hand');
  let megapixels = 0;
  await mkdir(folder, { recursive: true });
  const shots = shotsOf(sheets, pictures, shown);
  for (const [k, { drawn, extent }] of shots.entries()) {
    const branch = (name: string): RandomStream =>
      random.branch(k === 0 ? name : `${name} of picture ${k + 1}`);
    const image = shots.length === 1 ? 'rubbing.jpg' : `rubbing-${k + 1}.jpg`;
    // Diagonals alone say nothing of perspective: such a sheet is photographed square-on.
    const held = kind === 'diagonals' ? { ...quality, tiltDeg: 0.6 } : quality;
    const camera = makeCamera(branch('camera'), extent, held);
    const marks = control.places.filter((m) => isWithin(extent, m.mm));
    const picture = photograph(
      branch('picture'),
      drawn.sheet,
      drawn.tone,
      camera,
      quality,
      recipe.medium === 'white-wax',
    );
    clicks[image] = marks.map(({ mm }): Point => {
      const [x, y] = projectToImage(camera, mm);
      const at = (v: number): number => Math.round((v + CLICK_ERROR_PX * hand.normal()) * 10) / 10;
      return [at(x), at(y)];
    });
    views.push({ image, camera, marks });
    images.push({
      image,
      control: control.known(marks),
      ...(quality.dpi ? { dpi: quality.dpi } : {}),
    });
    await writePicture(branch('orientation'), picture, quality, join(folder, image));
    megapixels += (picture.widthPx * picture.heightPx) / 1e6;
  }
  const isTracing = recipe.medium === 'pen-middles' || recipe.medium === 'pen-edges';
  const truth = rubbingTruth(
    net,
    shown,
    isTracing ? undefined : sheets.map(({ sheet, wax }) => ({ sheet, cover: wax.cover })),
    control,
    views,
    { widthShown: recipe.medium !== 'pen-middles', mirrorSumMm: mirrorSum },
  );
  const input = {
    task: 'rubbing',
    images,
    units: 'mm',
    face_widths_in_use_mm: null,
    ...(isOutside ? { face: 'outside' } : {}),
    ...(recipe.plate ? { layer: 'back' } : {}),
  };
  const json = (name: string, value: unknown) =>
    writeFile(join(folder, name), JSON.stringify(value));
  await json('input.json', input);
  await json('clicks.json', clicks);
  await json('truth.json', truth);
  return { pieces: truth.counts.pieces, megapixels };
}

function drawnSheets(
  random: RandomStream,
  recipe: CaseRecipe,
  shown: PanelNet,
  control: Control,
  kind: ControlKind,
  quality: Quality,
): DrawnSheet[] {
  const margin = random.branch('margin');
  const strips = kind === 'target_sheet' ? STRIP_MARGIN_MM : 0;
  const side = (): number => margin.between(31, 46) + strips;
  const margins = [side(), side(), side(), side() + (kind === 'scale_bar' ? 12 : 0)] as const;
  const beyond = shown.sizeMm[1] * (0.5 - OVERLAP_SHARE);
  const all =
    recipe.pictures === 'two-sheets'
      ? ([
          [margins[0], margins[1], margins[2], -beyond],
          [margins[0], -beyond, margins[2], margins[3]],
        ] as const)
      : [margins];
  return all.map((each, k) => {
    const branch = (name: string): RandomStream =>
      random.branch(k === 0 ? name : `${name} of sheet ${k + 1}`);
    // The raster is a fifth finer than the picture, so that sampling costs little sharpness.
    const sheet = makeSheet(shown.sizeMm, each, quality.pxPerMm[1] * 1.2);
    const field = cameField(branch('came'), sheet, shown.graph);
    const wax =
      recipe.medium === 'pen-middles' || recipe.medium === 'pen-edges'
        ? tracing(branch('tracing'), sheet, shown, field, recipe.medium)
        : rubWax(branch('wax'), sheet, shown, field, quality);
    const tone = sheetTone(branch('tone'), sheet, shown, wax, control.strokes, quality);
    printStrips(sheet, tone, control.strips ?? []);
    return { sheet, wax, tone };
  });
}

/** What each picture is aimed at. */
function shotsOf(
  sheets: readonly DrawnSheet[],
  pictures: NonNullable<CaseRecipe['pictures']>,
  net: PanelNet,
): { drawn: DrawnSheet; extent: Extent }[] {
  if (pictures === 'one' || pictures === 'two-sheets') {
    return sheets.map((drawn) => ({ drawn, extent: drawn.sheet }));
  }
  const drawn = sheets[0]!;
  const { topMm, heightMm } = drawn.sheet;
  const h = net.sizeMm[1];
  const [low, high] = [h * (0.5 - OVERLAP_SHARE), h * (0.5 + OVERLAP_SHARE)];
  return [
    { drawn, extent: { ...drawn.sheet, heightMm: high - topMm } },
    { drawn, extent: { ...drawn.sheet, topMm: low, heightMm: topMm + heightMm - low } },
  ];
}

function isWithin({ leftMm, topMm, widthMm, heightMm }: Extent, [x, y]: Point): boolean {
  return x > leftMm && x < leftMm + widthMm && y > topMm && y < topMm + heightMm;
}

function chooseControl(random: RandomStream, recipe: CaseRecipe): ControlKind {
  const square = recipe.style !== 'lancet' && recipe.style !== 'round';
  if (recipe.quality === 'clean' && random.chance(0.25)) return 'scale_bar';
  return square && random.chance(0.2) ? 'sides_diagonals' : 'control_points';
}

/** The four corners of a rectangular panel's outer edge, A B C D clockwise from top left. */
function outerCorners(net: PanelNet): Point[] {
  const [w, h] = net.sizeMm;
  const ideal: Point[] = [
    [0, 0],
    [w, 0],
    [w, h],
    [0, h],
  ];
  return ideal.map(([x, y]) =>
    net.outline.reduce((p, q) =>
      Math.hypot(q[0] - x, q[1] - y) < Math.hypot(p[0] - x, p[1] - y) ? q : p,
    ),
  );
}

/** Stored turned where the quality says so: the EXIF orientation brings it upright again. */
async function writePicture(
  random: RandomStream,
  picture: { widthPx: number; heightPx: number; rgb: Buffer },
  quality: Quality,
  path: string,
): Promise<void> {
  const raw = { raw: { width: picture.widthPx, height: picture.heightPx, channels: 3 as const } };
  const orientation = quality.turned ? random.pick([1, 3, 6, 8]) : 1;
  const turn = { 1: 0, 3: 180, 6: 270, 8: 90 }[orientation]!;
  let image = sharp(picture.rgb, raw).rotate(turn);
  if (orientation !== 1) image = image.withMetadata({ orientation });
  if (quality.dpi) image = image.withMetadata({ density: quality.dpi });
  await image.jpeg({ quality: quality.jpegQuality, chromaSubsampling: '4:2:0' }).toFile(path);
}
