/** Looks at a photograph beside the screen: decodes it, measures sharpness, exposure, scale and tilt. */
import { clipping, edgeWidth, makePlane } from '#libs/raster';
import { neededPxPerMm, targetView } from '#libs/rubbing';
import type { PictureFigures } from './say-picture.js';

export interface LookTask {
  readonly turn: number;
  readonly file: Blob;
}

/** Exposure and signs are looked for on a picture no longer than this. */
const WHOLE_PX = 2000;
/** Sharpness is looked at in windows of the full picture. */
const WINDOW_PX = 800;
const WINDOWS = [
  [0.5, 0.5],
  [0.2, 0.2],
  [0.8, 0.2],
  [0.2, 0.8],
  [0.8, 0.8],
] as const;

addEventListener('message', ({ data }: MessageEvent<LookTask>) => {
  const answer = postMessage as (answer: unknown) => void;
  figuresOf(data.file).then(
    (figures) => {
      answer({ turn: data.turn, figures });
    },
    (error: unknown) => {
      answer({ turn: data.turn, why: error instanceof Error ? error.message : String(error) });
    },
  );
});

async function figuresOf(file: Blob): Promise<PictureFigures> {
  const picture = await createImageBitmap(file);
  const { width: widthPx, height: heightPx } = picture;
  const shrink = Math.min(1, WHOLE_PX / Math.max(widthPx, heightPx));
  const whole = pixelsOf(picture, [0, 0, widthPx, heightPx], shrink);
  const target = targetView({ width: whole.width, height: whole.height, data: greyOf(whole) });
  const widths = WINDOWS.flatMap(([x, y]) => {
    const side = Math.min(WINDOW_PX, widthPx, heightPx);
    const left = Math.round((widthPx - side) * x);
    const top = Math.round((heightPx - side) * y);
    const window = pixelsOf(picture, [left, top, side, side], 1);
    const plane = makePlane(side, side, Float32Array.from(greyOf(window)));
    return edgeWidth(plane)?.widthPx ?? [];
  });
  picture.close();
  return {
    widthPx,
    heightPx,
    // a flat panel is sharp somewhere, or nowhere
    edgePx: widths.length === 0 ? null : Math.min(...widths),
    ...clipping(whole.data, 4),
    target: target === undefined ? null : { ...target, pxPerMm: target.pxPerMm / shrink },
    neededPxPerMm: neededPxPerMm(),
  };
}

function pixelsOf(
  picture: ImageBitmap,
  [x, y, width, height]: readonly [number, number, number, number],
  shrink: number,
): ImageData {
  const canvas = new OffscreenCanvas(
    Math.max(1, Math.round(width * shrink)),
    Math.max(1, Math.round(height * shrink)),
  );
  const paint = canvas.getContext('2d', { willReadFrequently: true });
  if (paint === null) throw new Error('This browser cannot look at pictures.');
  paint.drawImage(picture, x, y, width, height, 0, 0, canvas.width, canvas.height);
  return paint.getImageData(0, 0, canvas.width, canvas.height);
}

/** Luma of sRGB (Rec. 601 weights, from memory). */
function greyOf({ data }: ImageData): Uint8Array {
  const grey = new Uint8Array(data.length / 4);
  for (let i = 0, j = 0; i < grey.length; i++, j += 4)
    grey[i] = (data[j]! * 77 + data[j + 1]! * 150 + data[j + 2]! * 29 + 128) >> 8;
  return grey;
}
