/** Everything on the paper that is not its colour: wax, ink, pencil, folds. One reflectance per pixel, 1 = bare. */
import { drawStrokes } from './draw-strokes.js';
import { writing } from './handwriting.js';
import type { PanelNet } from './panel-net.js';
import { type Point, ringArea } from './polyline.js';
import type { Quality } from './quality.js';
import type { RandomStream } from './random-stream.js';
import type { Sheet } from './sheet.js';
import { SmoothNoise } from './smooth-noise.js';
import type { Wax } from './wax.js';

export function sheetTone(
  random: RandomStream,
  sheet: Sheet,
  net: PanelNet,
  wax: Wax,
  controlStrokes: readonly Point[][],
  quality: Quality,
): Float32Array {
  const tone = new Float32Array(sheet.widthPx * sheet.heightPx);
  const texture = new SmoothNoise(random.branch('texture'), 1.1);
  const mottle = new SmoothNoise(random.branch('mottle'), 7);
  const pixel = random.branch('pixel');
  const waxDark = random.between(0.88, 0.94);
  for (let y = 0; y < sheet.heightPx; y++) {
    const ym = (y + 0.5) / sheet.pxPerMm;
    for (let x = 0; x < sheet.widthPx; x++) {
      const i = y * sheet.widthPx + x;
      const xm = (x + 0.5) / sheet.pxPerMm;
      const paper =
        1 + 0.011 * texture.at(xm, ym) + 0.013 * mottle.at(xm, ym) + 0.03 * (pixel.unit() - 0.5);
      const body =
        0.9 + 0.05 * texture.at(ym, xm) + 0.035 * mottle.at(ym, xm) + 0.12 * (pixel.unit() - 0.5);
      const dark = wax.cover[i]! * Math.min(0.92, waxDark * body);
      tone[i] = Math.min(paper * (1 - dark), paper * (1 - 0.75 * wax.dust[i]!));
    }
  }
  foldSheet(random.branch('folds'), sheet, tone, quality);
  const grain = new SmoothNoise(random.branch('pencil grain'), 0.5);
  const pencil = {
    widthMm: random.between(0.55, 0.85),
    darkness: random.between(0.5, 0.66),
    grain,
  };
  drawStrokes(sheet, tone, notes(random.branch('notes'), net), pencil);
  drawStrokes(sheet, tone, controlStrokes, { widthMm: random.between(0.4, 0.55), darkness: 0.82 });
  return tone;
}

/** Numbers in some pieces, arrows, the panel's name above and its size below. */
function notes(random: RandomStream, net: PanelNet): Point[][] {
  const strokes: Point[][] = [];
  const [w, h] = net.sizeMm;
  strokes.push(
    ...writing(
      `${random.pick(['A', 'B', 'K', 'S', 'x'])} ${random.whole(1, 9)}`,
      [w * 0.38, -19],
      12,
    ),
  );
  strokes.push(...writing(`${Math.round(w)}x${Math.round(h)} mm`, [w * 0.28, h + 8], 10));
  net.faces.faces.forEach((face, i) => {
    if (!random.chance(0.3)) return;
    const n = face.ring.length;
    const centre: Point = [
      face.ring.reduce((s, p) => s + p[0], 0) / n + random.between(-5, 5),
      face.ring.reduce((s, p) => s + p[1], 0) / n + random.between(-5, 5),
    ];
    const size = Math.min(10, Math.sqrt(Math.abs(ringArea(face.ring))) * 0.3);
    strokes.push(
      ...writing(
        String(i + 1),
        [centre[0] - size * 0.6, centre[1] - size / 2],
        size,
        random.between(0, 0.3),
      ),
    );
  });
  for (let k = random.whole(1, 4); k > 0; k--) {
    const a: Point = [random.between(0, w), random.between(0, h)];
    const t = random.between(0, 2 * Math.PI);
    const long = random.between(14, 45);
    const b: Point = [a[0] + long * Math.cos(t), a[1] + long * Math.sin(t)];
    const head = (turn: number): Point => [
      b[0] - 5 * Math.cos(t + turn),
      b[1] - 5 * Math.sin(t + turn),
    ];
    strokes.push([a, b]);
    if (random.chance(0.6)) strokes.push([head(0.5), b, head(-0.5)]);
  }
  return strokes;
}

/** A fold: a light and a dark flank, wax broken on the ridge. */
function foldSheet(random: RandomStream, sheet: Sheet, tone: Float32Array, quality: Quality): void {
  const count = random.whole(...quality.folds);
  for (let k = 0; k < count; k++) {
    const kind = random.pick(['upright', 'level', 'level', 'slant'] as const);
    const angle =
      { upright: 0, level: Math.PI / 2, slant: random.between(0.5, 1.1) }[kind] +
      random.between(-0.01, 0.01);
    const nx = Math.cos(angle);
    const ny = Math.sin(angle);
    const through: Point = [
      sheet.widthMm * random.between(0.42, 0.58),
      sheet.heightMm * random.between(0.42, 0.58),
    ];
    const strength = random.between(0.03, 0.075) * (random.chance(0.5) ? 1 : -1);
    const lift = random.between(0.2, 0.5);
    const broken = new SmoothNoise(random.branch(`broken ${k}`), 5);
    for (let y = 0; y < sheet.heightPx; y++) {
      const ym = (y + 0.5) / sheet.pxPerMm - through[1];
      for (let x = 0; x < sheet.widthPx; x++) {
        const xm = (x + 0.5) / sheet.pxPerMm - through[0];
        const d = xm * nx + ym * ny;
        if (d > 40 || d < -40) continue;
        const i = y * sheet.widthPx + x;
        const along = d > 0 ? Math.exp(-d / 10) : -Math.exp(d / 10);
        const ridge = Math.exp(-(d * d) / 0.35);
        let v = tone[i]! * (1 + strength * along + 0.8 * Math.abs(strength) * ridge);
        if (ridge > 0.1) {
          const bare = ridge * lift * Math.max(0, Math.min(1, 0.5 + 0.6 * broken.at(xm, ym)));
          v += (1 - v) * bare;
        }
        tone[i] = v;
      }
    }
  }
}
