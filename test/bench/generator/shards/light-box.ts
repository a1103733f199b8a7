/** The photograph of one shard on a light box: turned, with fall-off of the light, the dark rim of its edge, and noise. */
import type { RandomStream } from '../random-stream.js';
import { SmoothNoise } from '../smooth-noise.js';
import type { PaintedFace } from './painted-face.js';
import { BODY_PX_PER_MM, type ShardBody } from './shard-body.js';

const MARGIN_MM = 5;

export interface GlassLook {
  /** Share of red, green and blue let through. */
  readonly rgb: readonly [number, number, number];
}

export interface ShardShot {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly rgb: Uint8Array;
  /** Picture to piece, mirrored when it was taken from the back. */
  readonly pxToMm: readonly [readonly [number, number, number], readonly [number, number, number]];
}

export function photographShard(
  body: ShardBody,
  paint: PaintedFace,
  glass: GlassLook,
  pxPerMm: number,
  isFromBack: boolean,
  random: RandomStream,
): ShardShot {
  const angle = random.between(0, 2 * Math.PI);
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const flip = isFromBack ? -1 : 1;
  const [mx, my] = body.centroidMm;
  // piece to picture: mirror, turn; then find how large the picture must be
  const place = (x: number, y: number): [number, number] => {
    const dx = flip * (x - mx);
    const dy = y - my;
    return [cos * dx - sin * dy, sin * dx + cos * dy];
  };
  let [x1, y1, x2, y2] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let k = 0; k < body.depthMm.length; k += 3) {
    if (body.depthMm[k]! < 0) continue;
    const [x, y] = place(
      body.x0Mm + (k % body.width) / BODY_PX_PER_MM,
      body.y0Mm + Math.floor(k / body.width) / BODY_PX_PER_MM,
    );
    [x1, y1, x2, y2] = [Math.min(x1, x), Math.min(y1, y), Math.max(x2, x), Math.max(y2, y)];
  }
  const margin = MARGIN_MM + random.between(0, 3);
  const widthPx = Math.ceil((x2 - x1 + 2 * margin) * pxPerMm);
  const heightPx = Math.ceil((y2 - y1 + 2 * margin) * pxPerMm);
  const [ox, oy] = [x1 - margin, y1 - margin];
  const k = 1 / pxPerMm;
  // picture to piece, the inverse
  const pxToMm = [
    [flip * cos * k, flip * sin * k, mx + flip * (cos * ox + sin * oy)],
    [-sin * k, cos * k, my - sin * ox + cos * oy],
  ] as const;
  return { widthPx, heightPx, rgb: expose(), pxToMm };

  function expose(): Uint8Array {
    const rgb = new Uint8Array(3 * widthPx * heightPx);
    const level = random.between(225, 245);
    const [gx, gy, fall] = [
      random.between(-0.04, 0.04),
      random.between(-0.04, 0.04),
      random.between(0, 0.06),
    ];
    const tint = [1, random.between(0.98, 1), random.between(0.96, 1)];
    const rimDark = random.between(0.5, 0.8);
    const rimMm = random.between(0.22, 0.4);
    const rimNoise = new SmoothNoise(random, 2.5);
    const grain = random.between(1.2, 2.6);
    for (let py = 0; py < heightPx; py++) {
      for (let px = 0; px < widthPx; px++) {
        const x = pxToMm[0][0] * px + pxToMm[0][1] * py + pxToMm[0][2];
        const y = pxToMm[1][0] * px + pxToMm[1][1] * py + pxToMm[1][2];
        const [u, v] = [(2 * px) / widthPx - 1, (2 * py) / heightPx - 1];
        const light = level * (1 + gx * u + gy * v - fall * (u * u + v * v));
        const d = depthAt(body, x, y);
        const cover = Math.max(0, Math.min(1, 0.5 + d * pxPerMm * 0.7));
        const q = Math.max(0, d) / rimMm;
        const rim =
          1 -
          rimDark * Math.max(0.4, Math.min(1.2, 1 + 0.15 * rimNoise.at(x, y))) * Math.exp(-q * q);
        const lets = cover > 0 ? paint.at(x, y) * Math.max(0.04, rim) : 1;
        const at = 3 * (py * widthPx + px);
        const noise = random.normal() * grain;
        for (let c = 0; c < 3; c++) {
          const value = light * tint[c]! * (1 - cover + cover * glass.rgb[c]! * lets);
          rgb[at + c] = Math.max(
            0,
            Math.min(255, Math.round(value + noise + random.normal() * 0.7)),
          );
        }
      }
    }
    return rgb;
  }
}

function depthAt(body: ShardBody, x: number, y: number): number {
  const u = (x - body.x0Mm) * BODY_PX_PER_MM;
  const v = (y - body.y0Mm) * BODY_PX_PER_MM;
  if (!(u >= 0 && v >= 0 && u < body.width - 1 && v < body.height - 1)) return -9;
  const i = Math.floor(u);
  const j = Math.floor(v);
  const k = j * body.width + i;
  const d = body.depthMm;
  const top = d[k]! + (u - i) * (d[k + 1]! - d[k]!);
  const bottom = d[k + body.width]! + (u - i) * (d[k + body.width + 1]! - d[k + body.width]!);
  return top + (v - j) * (bottom - top);
}
