import { readFile, writeFile } from 'node:fs/promises';
import sharp, { type Sharp } from 'sharp';
import type { DecodeAnswers, RenderPlan } from '../decode-protocol.js';
import { ImagingError } from '../imaging-error.js';
import type { ImagingLimits } from '../imaging-limits.js';
import { PREVIEW_PARAMETERS, PYRAMID_PARAMETERS } from '../provenance.js';
import { believableDpi, openPicture } from './open-picture.js';

const TILE_PX = PYRAMID_PARAMETERS.tilePx;
/** a JPEG block with halved colour */
const BLOCK_PX = 16;
const COLOUR_SAMPLE_PX = 2;
/** Below 90 the encoder keeps YCbCr with halved colour, which every JPEG reader takes unmarked. */
const PYRAMID_QUALITY = PYRAMID_PARAMETERS.quality;
const PREVIEW_QUALITY = PREVIEW_PARAMETERS.quality;

/** Upright, on white, 8-bit sRGB (an embedded profile is followed), without any metadata. */
async function uprightRgb(
  path: string,
  limits: ImagingLimits,
): Promise<{ picture: Sharp; widthPx: number; heightPx: number; dpi: number | undefined }> {
  const { picture } = await openPicture(path, limits);
  const { density, autoOrient } = await picture.clone().metadata();
  return {
    picture: picture.autoOrient().flatten({ background: '#ffffff' }).toColourspace('srgb'),
    widthPx: autoOrient.width,
    heightPx: autoOrient.height,
    dpi: believableDpi(density),
  };
}

/**
 * One pyramidal TIFF of 256 px JPEG tiles, each level half of the one before. The picture is first
 * continued to the right and below; the answer is the picture's own size.
 */
export async function makePyramid(
  { path, outPath }: { path: string; outPath: string },
  limits: ImagingLimits,
): Promise<DecodeAnswers['pyramid']> {
  const { picture, widthPx, heightPx } = await uprightRgb(path, limits);
  const continued = continuedSize(widthPx, heightPx);
  await picture
    .extend({
      right: continued.widthPx - widthPx,
      bottom: continued.heightPx - heightPx,
      extendWith: 'copy',
    })
    .tiff({
      tile: true,
      pyramid: true,
      tileWidth: TILE_PX,
      tileHeight: TILE_PX,
      compression: 'jpeg',
      quality: PYRAMID_QUALITY,
    })
    .toFile(outPath);
  return { widthPx, heightPx };
}

/**
 * Size with copies of the last pixels added, so that on every level whole blocks of the JPEG encoder
 * and one more colour sample lie between the picture and the black that fills edge tiles. Without
 * that black bleeds into the last row and column (measured: 69 of 255 by the block, 43 by the
 * reader's smoothing of colour), and halving loses odd ones.
 */
export function continuedSize(
  widthPx: number,
  heightPx: number,
): { widthPx: number; heightPx: number } {
  const halvingsOf = (w: number, h: number): number =>
    Math.max(0, Math.ceil(Math.log2(Math.max(w, h) / TILE_PX)));
  for (let halvings = halvingsOf(widthPx, heightPx); ; halvings++) {
    const scale = 2 ** halvings;
    const [w, h] = [widthPx, heightPx].map(
      (size) =>
        Math.ceil((size + COLOUR_SAMPLE_PX * scale) / (BLOCK_PX * scale)) * BLOCK_PX * scale,
    ) as [number, number];
    // the added pixels may call for one more level, on which they must fit as well
    if (halvingsOf(w, h) <= halvings) return { widthPx: w, heightPx: h };
  }
}

export async function makePreview(
  { path, outPath, longEdgePx }: { path: string; outPath: string; longEdgePx: number },
  limits: ImagingLimits,
): Promise<DecodeAnswers['preview']> {
  const { picture } = await uprightRgb(path, limits);
  const { width, height } = await picture
    .resize(longEdgePx, longEdgePx, { fit: 'inside', withoutEnlargement: true })
    .jpeg({ quality: PREVIEW_QUALITY })
    .toFile(outPath);
  return { widthPx: width, heightPx: height };
}

/** All pixels, three bytes each, into a file: a 24 MP picture is 72 MB. */
export async function makePixels(
  { path, outPath }: { path: string; outPath: string },
  limits: ImagingLimits,
): Promise<DecodeAnswers['pixels']> {
  const { picture, dpi } = await uprightRgb(path, limits);
  const { data, info } = await picture.raw().toBuffer({ resolveWithObject: true });
  const rgb = info.channels === 3 ? data : greyAsRgb(data, info.channels);
  await writeFile(outPath, rgb);
  return {
    widthPx: info.width,
    heightPx: info.height,
    ...(dpi === undefined ? {} : { dpi }),
  };
}

/** Bare pixels become a JPEG: what was computed from a picture, not the picture itself. */
export async function encodePixels(
  {
    path,
    widthPx,
    heightPx,
    channels,
    outPath,
  }: {
    path: string;
    widthPx: number;
    heightPx: number;
    channels: 1 | 3;
    outPath: string;
  },
  limits: ImagingLimits,
): Promise<DecodeAnswers['encode']> {
  const raw = { width: widthPx, height: heightPx, channels };
  await sharp(await readFile(path), { raw, limitInputPixels: limits.maxPixels })
    .jpeg({ quality: PREVIEW_QUALITY })
    .toFile(outPath);
  return { widthPx, heightPx };
}

/** Cuts one picture out of a pyramid, from the smallest level that still has enough pixels. */
export async function render({
  path,
  plan,
}: {
  path: string;
  plan: RenderPlan;
}): Promise<Uint8Array> {
  const { region } = plan;
  // our own file, and a little larger than the picture that was let in
  const base = { limitInputPixels: false };
  const full = await sharp(path, base).metadata();
  const isInside =
    region.x >= 0 &&
    region.y >= 0 &&
    region.x + region.widthPx <= full.width &&
    region.y + region.heightPx <= full.height;
  if (!isInside) throw new ImagingError('region-outside', 'The region lies outside the picture.');
  const shrink = Math.max(
    1,
    Math.min(region.widthPx / plan.widthPx, region.heightPx / plan.heightPx),
  );
  const page = Math.min((full.pages ?? 1) - 1, Math.floor(Math.log2(shrink) + 1e-9));
  const level = await sharp(path, { ...base, page }).metadata();
  const across = level.width / full.width;
  const down = level.height / full.height;
  const left = Math.min(level.width - 1, Math.round(region.x * across));
  const top = Math.min(level.height - 1, Math.round(region.y * down));
  const cut = sharp(path, { ...base, page })
    .extract({
      left,
      top,
      width: Math.max(1, Math.min(level.width - left, Math.round(region.widthPx * across))),
      height: Math.max(1, Math.min(level.height - top, Math.round(region.heightPx * down))),
    })
    .resize(plan.widthPx, plan.heightPx, { fit: 'fill' });
  // IIIF Image 3.0 section 4: mirroring comes before rotation, quality after both
  let picture = sharp(await cut.png({ compressionLevel: 0 }).toBuffer());
  if (plan.mirrored) picture = picture.flop();
  if (plan.rotationDeg !== 0) {
    picture = sharp(await picture.png({ compressionLevel: 0 }).toBuffer()).rotate(plan.rotationDeg);
  }
  if (plan.quality === 'gray') picture = picture.greyscale();
  if (plan.quality === 'bitonal') picture = picture.threshold(128);
  const encoded =
    plan.format === 'png'
      ? picture.png()
      : plan.format === 'webp'
        ? picture.webp({ quality: PREVIEW_QUALITY })
        : picture.jpeg({ quality: PREVIEW_QUALITY });
  return encoded.toBuffer();
}

/** The upper left part of a padded edge tile, as a JPEG of its own. */
export async function crop({
  jpeg,
  widthPx,
  heightPx,
}: {
  jpeg: Uint8Array;
  widthPx: number;
  heightPx: number;
}): Promise<Uint8Array> {
  return sharp(jpeg)
    .extract({ left: 0, top: 0, width: widthPx, height: heightPx })
    .jpeg({ quality: PYRAMID_QUALITY + 4 })
    .toBuffer();
}

function greyAsRgb(data: Uint8Array, channels: number): Uint8Array {
  const pixels = data.length / channels;
  const rgb = new Uint8Array(pixels * 3);
  for (let i = 0; i < pixels; i++) rgb.fill(data[i * channels]!, i * 3, i * 3 + 3);
  return rgb;
}
