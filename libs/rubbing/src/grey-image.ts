import type { RubbingImage } from './sheet.js';

/** An 8-bit grey image: 255 is white. */
export interface GreyImage {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** Luma of an sRGB image (Rec. 601 weights, from memory). Blue wax stays dark: blue counts 11 %. */
export function greyOf(image: RubbingImage): GreyImage {
  const n = image.widthPx * image.heightPx;
  const data = new Uint8Array(n);
  const { rgb } = image;
  for (let i = 0, j = 0; i < n; i++, j += 3) {
    data[i] = (rgb[j]! * 77 + rgb[j + 1]! * 150 + rgb[j + 2]! * 29 + 128) >> 8;
  }
  return { width: image.widthPx, height: image.heightPx, data };
}

/** Bilinear grey value; outside, the nearest border value. */
export function greyAt(image: GreyImage, x: number, y: number): number {
  const { width, height, data } = image;
  const cx = x < 0 ? 0 : x > width - 1.001 ? width - 1.001 : x;
  const cy = y < 0 ? 0 : y > height - 1.001 ? height - 1.001 : y;
  const x0 = cx | 0;
  const y0 = cy | 0;
  const fx = cx - x0;
  const fy = cy - y0;
  const i = y0 * width + x0;
  const a = data[i]! + fx * (data[i + 1]! - data[i]!);
  const b = data[i + width]! + fx * (data[i + width + 1]! - data[i + width]!);
  return a + fy * (b - a);
}
