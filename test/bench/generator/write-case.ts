/** One generated rubbing as a case folder: input.json, clicks.json, rubbing.jpg, truth.json. */
import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import sharp from 'sharp';
import { cameField } from './came-field.js';
import { makeCamera, projectToImage } from './camera.js';
import { type ControlKind, drawControl } from './control-marks.js';
import type { SizeWish } from './curve.js';
import { STYLES, type Style } from './designs/index.js';
import { type PanelNet, panelNet } from './panel-net.js';
import { photograph } from './photograph.js';
import type { Point } from './polyline.js';
import { QUALITIES, type Quality, type QualityName } from './quality.js';
import { type RandomStream, randomStream } from './random-stream.js';
import { makeSheet } from './sheet.js';
import { sheetTone } from './sheet-tone.js';
import { rubbingTruth } from './truth.js';
import { rubWax } from './wax.js';

export interface CaseRecipe {
  number: number;
  style: Style;
  quality: QualityName;
  /** Chosen by the number when left out. */
  control?: ControlKind;
  /** Over the outer leads; chosen by the number when left out. */
  sizeMm?: SizeWish;
}

const IMAGE = 'rubbing.jpg';
const CLICK_ERROR_PX = 1.5;

export async function writeCase(
  recipe: CaseRecipe,
  folder: string,
): Promise<{ pieces: number; megapixels: number }> {
  const random = randomStream(`${recipe.number}/${recipe.style}/${recipe.quality}`);
  const quality: Quality = QUALITIES[recipe.quality];
  const net = soundPanel(random, recipe.style, recipe.sizeMm);
  const kind = recipe.control ?? chooseControl(random.branch('control kind'), recipe);
  const control = drawControl(random.branch('control'), kind, net, outerCorners(net));
  const margin = random.branch('margin');
  const side = (): number => margin.between(31, 46);
  const camera0 = random.branch('camera');
  // The raster is a fifth finer than the picture, so that sampling costs little sharpness.
  const fineness = quality.pxPerMm[1] * 1.2;
  const sheet = makeSheet(
    net.sizeMm,
    [side(), side(), side(), side() + (kind === 'scale_bar' ? 12 : 0)],
    fineness,
  );
  // Diagonals alone say nothing of perspective: such a sheet is photographed square-on.
  const held = kind === 'diagonals' ? { ...quality, tiltDeg: 0.6 } : quality;
  const camera = makeCamera(camera0, sheet, held);
  const field = cameField(random.branch('came'), sheet, net.graph);
  const wax = rubWax(random.branch('wax'), sheet, net, field, quality);
  const tone = sheetTone(random.branch('tone'), sheet, net, wax, control.strokes, quality);
  const truth = rubbingTruth(IMAGE, net, sheet, wax.cover, control, camera);
  const picture = photograph(random.branch('picture'), sheet, tone, camera, quality);

  const hand = random.branch('hand');
  const clicks = control.places.map(({ mm }) => {
    const [x, y] = projectToImage(camera, mm);
    const at = (v: number): number => Math.round((v + CLICK_ERROR_PX * hand.normal()) * 10) / 10;
    return [at(x), at(y)];
  });
  const input = {
    task: 'rubbing',
    images: [
      { image: IMAGE, control: control.known, ...(quality.dpi ? { dpi: quality.dpi } : {}) },
    ],
    units: 'mm',
    face_widths_in_use_mm: null,
  };
  await mkdir(folder, { recursive: true });
  const json = (name: string, value: unknown) =>
    writeFile(join(folder, name), JSON.stringify(value));
  await json('input.json', input);
  await json('clicks.json', { [IMAGE]: clicks });
  await json('truth.json', truth);
  await writePicture(random.branch('orientation'), picture, quality, join(folder, IMAGE));
  return { pieces: truth.counts.pieces, megapixels: (picture.widthPx * picture.heightPx) / 1e6 };
}

/** Drawn again until the net is one connected plane graph (a hand-drawn design now and then folds on itself). */
function soundPanel(random: RandomStream, style: Style, wish?: SizeWish): PanelNet {
  for (let attempt = 0; attempt < 20; attempt++) {
    const net = panelNet(
      random.branch(`panel ${attempt}`),
      STYLES[style](random.branch(`design ${attempt}`), wish),
    );
    const { nodes, leads } = net.graph;
    const connected = nodes.length - leads.length + net.faces.faces.length === 1;
    if (connected && net.faces.sides.every(([left, right]) => left !== right)) return net;
  }
  throw new Error(`no sound ${style} panel in 20 attempts`);
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
