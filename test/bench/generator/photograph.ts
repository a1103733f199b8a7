/** The sheet as scanned or photographed: RGB bytes of the upright picture. */
import { applyMatrix, type Camera, undistort } from './camera.js';
import type { Point } from './polyline.js';
import type { Quality } from './quality.js';
import type { RandomStream } from './random-stream.js';
import type { Sheet } from './sheet.js';
import { SmoothNoise } from './smooth-noise.js';

type Rgb = readonly [number, number, number];

interface Tape {
  corner: Point;
  cos: number;
  sin: number;
  halfLong: number;
  halfWide: number;
}

export interface Picture {
  widthPx: number;
  heightPx: number;
  rgb: Buffer;
}

export function photograph(
  random: RandomStream,
  sheet: Sheet,
  tone: Float32Array,
  camera: Camera,
  quality: Quality,
  blackPaper = false,
): Picture {
  const { widthPx, heightPx } = camera;
  const out = new Float32Array(widthPx * heightPx * 3);
  const paper: Rgb = quality.photograph
    ? [random.between(0.8, 0.9), random.between(0.77, 0.86), random.between(0.66, 0.82)]
    : [random.between(0.9, 0.96), random.between(0.9, 0.95), random.between(0.83, 0.91)];
  const wax: Rgb = random.chance(0.22) ? [1, 0.93, 0.72] : [1, 1, 0.98];
  const stains = paperStains(random.branch('stains'), sheet, quality);
  const tapes =
    quality.photograph && random.chance(0.6) ? tapesAt(random.branch('tape'), sheet) : [];
  const light = lightField(random.branch('light'), camera, quality);
  const wood = woodGrain(random.branch('wood'), quality, camera);
  const right = sheet.leftMm + sheet.widthMm;
  const bottom = sheet.topMm + sheet.heightMm;
  const s = sheet.pxPerMm;
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const o = (y * widthPx + x) * 3;
      const mm = applyMatrix(camera.panelFromImage, camera.k1 ? undistort(camera, x, y) : [x, y]);
      let r: number;
      let g: number;
      let b: number;
      if (mm[0] >= sheet.leftMm && mm[1] >= sheet.topMm && mm[0] < right && mm[1] < bottom) {
        let t = sample(
          sheet,
          tone,
          (mm[0] - sheet.leftMm) * s - 0.5,
          (mm[1] - sheet.topMm) * s - 0.5,
        );
        let [pr, pg, pb] = paper;
        const stain = stains(mm[0], mm[1]);
        pr *= 1 - 0.16 * stain;
        pg *= 1 - 0.22 * stain;
        pb *= 1 - 0.36 * stain;
        for (const tape of tapes) {
          const dx = mm[0] - tape.corner[0];
          const dy = mm[1] - tape.corner[1];
          if (Math.abs(dx * tape.cos + dy * tape.sin) > tape.halfLong) continue;
          if (Math.abs(-dx * tape.sin + dy * tape.cos) > tape.halfWide) continue;
          t = 0.32 + 0.66 * t;
          pr *= 0.97;
          pg *= 0.94;
          pb *= 0.82;
        }
        if (blackPaper) {
          const chalk = 0.86 * (1 - t);
          r = 0.17 * pr + chalk * (0.95 - 0.17 * pr);
          g = 0.17 * pg + chalk * (0.94 - 0.17 * pg);
          b = 0.18 * pb + chalk * (0.9 - 0.18 * pb);
        } else {
          r = pr * (1 - wax[0] * (1 - t));
          g = pg * (1 - wax[1] * (1 - t));
          b = pb * (1 - wax[2] * (1 - t));
        }
      } else {
        const w = wood(x, y);
        r = 0.43 * w;
        g = (quality.photograph ? 0.3 : 0.43) * w;
        b = (quality.photograph ? 0.19 : 0.43) * w;
        const shade = edgeShadow(sheet, mm);
        r *= shade;
        g *= shade;
        b *= shade;
      }
      const l = light(x, y);
      out[o] = r * l;
      out[o + 1] = g * l;
      out[o + 2] = b * l;
    }
  }
  blur(out, widthPx, heightPx, quality.blurPx * random.between(0.85, 1.15));
  return { widthPx, heightPx, rgb: developed(random.branch('sensor'), out, quality) };
}

function sample(sheet: Sheet, tone: Float32Array, x: number, y: number): number {
  const w = sheet.widthPx;
  const xi = Math.min(w - 2, Math.max(0, Math.floor(x)));
  const yi = Math.min(sheet.heightPx - 2, Math.max(0, Math.floor(y)));
  const fx = Math.min(1, Math.max(0, x - xi));
  const fy = Math.min(1, Math.max(0, y - yi));
  const i = yi * w + xi;
  const a = tone[i]! + (tone[i + 1]! - tone[i]!) * fx;
  const b = tone[i + w]! + (tone[i + w + 1]! - tone[i + w]!) * fx;
  return a + (b - a) * fy;
}

function edgeShadow(sheet: Sheet, mm: Point): number {
  const dx = Math.max(sheet.leftMm - mm[0], mm[0] - sheet.leftMm - sheet.widthMm, 0);
  const dy = Math.max(sheet.topMm - mm[1], mm[1] - sheet.topMm - sheet.heightMm, 0);
  return 1 - 0.45 * Math.exp(-Math.hypot(dx, dy) / 3);
}

function paperStains(
  random: RandomStream,
  sheet: Sheet,
  quality: Quality,
): (x: number, y: number) => number {
  const edge = new SmoothNoise(random.branch('edge'), 14);
  const cloud = new SmoothNoise(random.branch('cloud'), 60);
  const spots = Array.from({ length: random.whole(...quality.stains) }, () => ({
    x: sheet.leftMm + random.unit() * sheet.widthMm,
    y: sheet.topMm + random.unit() * sheet.heightMm,
    r: random.between(18, 60),
    rim: random.between(0.2, 0.6),
  }));
  return (x, y) => {
    let v = 0.08 * cloud.at(x, y);
    for (const spot of spots) {
      const d = Math.hypot(x - spot.x, y - spot.y) / spot.r + 0.08 * edge.at(x, y);
      if (d < 1.15) v += (d < 1 ? 0.35 : 0) + spot.rim * Math.exp(-(((d - 1) / 0.05) ** 2));
    }
    return Math.max(-0.2, Math.min(1, v));
  };
}

function tapesAt(random: RandomStream, sheet: Sheet): Tape[] {
  const right = sheet.leftMm + sheet.widthMm;
  const bottom = sheet.topMm + sheet.heightMm;
  const corners: Point[] = [
    [sheet.leftMm, sheet.topMm],
    [right, sheet.topMm],
    [right, bottom],
    [sheet.leftMm, bottom],
  ];
  return corners.map((corner, i): Tape => {
    const t = (i % 2 ? 1 : -1) * (Math.PI / 4) + random.between(-0.25, 0.25);
    return {
      corner,
      cos: Math.cos(t),
      sin: Math.sin(t),
      halfLong: random.between(14, 26),
      halfWide: random.between(6, 10),
    };
  });
}

/** Lamp to one side, falling off to the corners, and now and then the shadow of whoever holds the phone. */
function lightField(
  random: RandomStream,
  camera: Camera,
  quality: Quality,
): (x: number, y: number) => number {
  if (!quality.photograph) {
    const slope = random.between(-0.03, 0.03) / camera.widthPx;
    return (x) => 1 + slope * (x - camera.widthPx / 2);
  }
  const gx = random.between(-0.2, 0.2) / camera.widthPx;
  const gy = random.between(-0.2, 0.2) / camera.heightPx;
  const fall = random.between(0.08, 0.2);
  const level = random.between(0.85, 1.08);
  const angle = random.between(0, 2 * Math.PI);
  const nx = Math.cos(angle);
  const ny = Math.sin(angle);
  const offset = random.between(0.1, 0.4) * camera.r0;
  const soft = random.between(0.06, 0.3) * camera.r0;
  const strength = random.chance(0.75) ? quality.shadow * random.between(0.3, 1) : 0;
  const bend = new SmoothNoise(random.branch('bend'), camera.r0 * 0.6);
  const [cx, cy] = camera.centre;
  return (x, y) => {
    const dx = x - cx;
    const dy = y - cy;
    const vignette = 1 - (fall * (dx * dx + dy * dy)) / camera.r0 ** 2;
    const d = (dx * nx + dy * ny - offset + 0.14 * camera.r0 * bend.at(x, y)) / soft;
    const t = Math.min(1, Math.max(0, d / 2 + 0.5));
    return level * vignette * (1 + gx * dx + gy * dy) * (1 - strength * t * t * (3 - 2 * t));
  };
}

function woodGrain(
  random: RandomStream,
  quality: Quality,
  camera: Camera,
): (x: number, y: number) => number {
  if (!quality.photograph) {
    const level = random.chance(0.6) ? 0.05 : 1.9;
    return () => level;
  }
  const long = new SmoothNoise(random.branch('long'), camera.r0 / 45);
  const fine = new SmoothNoise(random.branch('fine'), camera.r0 / 160);
  const brightness = random.between(0.55, 1.1);
  return (x, y) =>
    Math.max(0.15, brightness * (1 + 0.2 * long.at(x * 0.04, y) + 0.14 * fine.at(x * 0.1, y)));
}

/** Gaussian blur of interleaved RGB, in place. */
function blur(data: Float32Array, width: number, height: number, sigmaPx: number): void {
  const reach = Math.ceil(3 * sigmaPx);
  const kernel = Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-((i - reach) ** 2) / (2 * sigmaPx ** 2)),
  );
  const sum = kernel.reduce((a, b) => a + b, 0);
  const k = Float32Array.from(kernel, (v) => v / sum);
  const line = new Float32Array(Math.max(width, height) * 3);
  const pass = (start: number, count: number, step: number): void => {
    for (let i = 0; i < count; i++) {
      for (let c = 0; c < 3; c++) line[i * 3 + c] = data[start + i * step + c]!;
    }
    for (let i = 0; i < count; i++) {
      for (let c = 0; c < 3; c++) {
        let v = 0;
        for (let j = -reach; j <= reach; j++) {
          const q = Math.min(count - 1, Math.max(0, i + j));
          v += k[j + reach]! * line[q * 3 + c]!;
        }
        data[start + i * step + c] = v;
      }
    }
  };
  for (let y = 0; y < height; y++) pass(y * width * 3, width, 3);
  for (let x = 0; x < width; x++) pass(x * 3, height, width * 3);
}

/** Sensor noise with grain two pixels wide, then 8 bits. */
function developed(random: RandomStream, data: Float32Array, quality: Quality): Buffer {
  const rgb = Buffer.alloc(data.length);
  let carry = 0;
  for (let i = 0; i < data.length; i += 3) {
    const shot = random.unit() + random.unit() + random.unit() - 1.5; // about normal, deviation 0.5
    carry = 0.45 * carry + 0.9 * shot;
    const luma = 2 * quality.noise * carry;
    for (let c = 0; c < 3; c++) {
      const chroma = quality.noise * (random.unit() - 0.5);
      rgb[i + c] = Math.max(
        0,
        Math.min(255, Math.round(255 * (data[i + c]! * (1 + 0.4 * luma) + 0.5 * luma + chroma))),
      );
    }
  }
  return rgb;
}
