import { open, readFile } from 'node:fs/promises';
import sharp, { type Sharp, type SharpOptions } from 'sharp';
import { damaged, ImagingError } from '../imaging-error.js';
import type { ImagingLimits } from '../imaging-limits.js';
import type { MediaFormat } from '../media-format.js';
import {
  type ReadAt,
  readTiffDirectories,
  TIFF_TAG,
  type TiffDirectory,
} from '../tiff-directory.js';
import { sniffFile, withFile } from './sniff-file.js';

/** A picture ready to decode; `picture` is not yet turned upright. */
export interface OpenPicture {
  format: MediaFormat;
  sizeBytes: number;
  picture: Sharp;
  /** pictures in the file, reduced copies not counted */
  frames: number;
  /** set where the picture was taken from inside a raw file */
  fromPreview: boolean;
  /** HEIC comes decoded and upright already */
  isUpright: boolean;
}

/**
 * Tells the format and opens the picture within the limits.
 *
 * @throws {ImagingError} with the reason why the file is not taken
 */
export async function openPicture(path: string, limits: ImagingLimits): Promise<OpenPicture> {
  const { format, sizeBytes, directories } = await tellFormat(path, limits);
  const options: SharpOptions = {
    // checked by us first, so that the sentence names the numbers; the decoder checks again
    limitInputPixels: limits.maxPixels,
    sequentialRead: true,
    failOn: 'truncated',
  };
  const base = { format, sizeBytes, fromPreview: false, isUpright: false };
  if (format === 'pdf') {
    throw new ImagingError('format-refused', 'A PDF is kept as a document and has no pixels here.');
  }
  if (format === 'heic') {
    const { raw, widthPx, heightPx, frames } = await decodeHeic(path, limits);
    const picture = sharp(raw, { raw: { width: widthPx, height: heightPx, channels: 4 } });
    return { ...base, picture: picture.removeAlpha(), frames, isUpright: true };
  }
  if (format === 'dng') {
    const preview = await largestPreview(path, directories ?? []);
    const orientation = directories?.[0]?.get(TIFF_TAG.orientation)?.[0] ?? 1;
    const picture = await withOrientation(preview, orientation, options);
    return { ...base, picture, frames: 1, fromPreview: true };
  }
  const frames =
    format === 'tiff'
      ? Math.max(1, (directories ?? []).filter((directory) => !isReduced(directory)).length)
      : format === 'png'
        ? await pngFrames(path)
        : ((await sharp(path, { ...options, limitInputPixels: false }).metadata()).pages ?? 1);
  return { ...base, picture: sharp(path, options), frames };
}

/** Format by content; a TIFF with a DNG version in its first directory is a DNG. */
async function tellFormat(
  path: string,
  limits: ImagingLimits,
): Promise<{ format: MediaFormat; sizeBytes: number; directories?: TiffDirectory[] }> {
  const told = await withFile(path, (file) => sniffFile(file, limits));
  if (told.format !== 'tiff') return told;
  const directories = await readTiffDirectories(readerOf(path), { withSub: true }).catch(
    (error: unknown) => {
      throw damaged('its list of pictures cannot be read', error);
    },
  );
  const isDng = directories[0]?.has(TIFF_TAG.dngVersion) === true;
  return { ...told, format: isDng ? 'dng' : 'tiff', directories };
}

/** Resolution in dots an inch, if the file states one that is believable. */
export function believableDpi(densityDpi: number | undefined): number | undefined {
  // 72 is what cameras and programs write when they do not know
  return densityDpi !== undefined && densityDpi > 72 && densityDpi <= 10_000
    ? densityDpi
    : undefined;
}

function readerOf(path: string): ReadAt {
  return async (start, end) => {
    const handle = await open(path, 'r');
    try {
      const bytes = Buffer.alloc(end - start);
      const { bytesRead } = await handle.read(bytes, 0, bytes.length, start);
      if (bytesRead < bytes.length) throw new RangeError(`only ${bytesRead} bytes at ${start}`);
      return bytes;
    } finally {
      await handle.close();
    }
  };
}

function isReduced(directory: TiffDirectory): boolean {
  return ((directory.get(TIFF_TAG.newSubfileType)?.[0] ?? 0) & 1) === 1;
}

/** Number of frames of an animated PNG: the acTL chunk, which must precede the picture data. */
async function pngFrames(path: string): Promise<number> {
  const handle = await open(path, 'r');
  try {
    const head = Buffer.alloc(12);
    for (let at = 8; ; ) {
      const { bytesRead } = await handle.read(head, 0, 12, at);
      const type = head.toString('latin1', 4, 8);
      if (bytesRead < 12 || type === 'IDAT' || type === 'IEND') return 1;
      if (type === 'acTL') return Math.max(1, head.readUInt32BE(8));
      at += 12 + head.readUInt32BE(0);
    }
  } finally {
    await handle.close();
  }
}

/**
 * The largest whole JPEG inside a DNG: directories of compression 6 or 7 that are not the sensor's
 * own picture (colour filter array 32803, linear raw 34892). Source: DNG 1.4, "Previews".
 */
async function largestPreview(
  path: string,
  directories: readonly TiffDirectory[],
): Promise<Uint8Array> {
  const readAt = readerOf(path);
  let best = { at: 0, sizeBytes: 0 };
  for (const directory of directories) {
    const photometric = directory.get(TIFF_TAG.photometric)?.[0];
    if (photometric === 32803 || photometric === 34892) continue;
    const isJpeg = [6, 7].includes(directory.get(TIFF_TAG.compression)?.[0] ?? 0);
    const strips = directory.get(TIFF_TAG.stripOffsets);
    const at =
      directory.get(TIFF_TAG.jpegOffset)?.[0] ??
      (isJpeg && strips?.length === 1 ? strips[0] : undefined);
    const sizeBytes =
      directory.get(TIFF_TAG.jpegByteCount)?.[0] ??
      directory.get(TIFF_TAG.stripByteCounts)?.[0] ??
      0;
    if (at !== undefined && sizeBytes > best.sizeBytes) best = { at, sizeBytes };
  }
  if (best.sizeBytes === 0) {
    throw new ImagingError(
      'no-preview',
      'The DNG holds no JPEG preview to show. Export it as TIFF or JPEG and send that; keep the DNG beside it.',
    );
  }
  return readAt(best.at, best.at + best.sizeBytes).catch((error: unknown) => {
    throw damaged('its preview is not all there', error);
  });
}

/** A preview has no orientation of its own: the raw file's directory states it. */
async function withOrientation(
  jpeg: Uint8Array,
  orientation: number,
  options: SharpOptions,
): Promise<Sharp> {
  const own = (
    await sharp(jpeg, options)
      .metadata()
      .catch(() => undefined)
  )?.orientation;
  if (own !== undefined || orientation === 1) return sharp(jpeg, options);
  return sharp(insertExifOrientation(jpeg, orientation), options);
}

/** A minimal Exif segment (TIFF directory with one entry, tag 0x0112) after the start of image. */
function insertExifOrientation(jpeg: Uint8Array, orientation: number): Uint8Array {
  const exif = Buffer.from(
    'ffe10022457869660000' + '4d4d002a00000008' + '0001' + '011200030000000100000000' + '00000000',
    'hex',
  );
  exif.writeUInt16BE(orientation, 28);
  return Buffer.concat([jpeg.subarray(0, 2), exif, jpeg.subarray(2)]);
}

interface DecodedHeic {
  raw: Uint8Array;
  widthPx: number;
  heightPx: number;
  frames: number;
}

/** The primary picture of a HEIC, turned upright by the decoder as its file says. */
async function decodeHeic(path: string, limits: ImagingLimits): Promise<DecodedHeic> {
  // 1.5 MB of WebAssembly: loaded only where it is needed
  const { default: libheif } = await import('libheif-js/wasm-bundle.js');
  const decoder = new libheif.HeifDecoder();
  const pictures = decoder.decode(await readFile(path));
  const first = pictures.find((picture) => picture.is_primary()) ?? pictures[0];
  if (first === undefined) throw damaged('no picture can be found in it');
  const widthPx = first.get_width();
  const heightPx = first.get_height();
  checkPixels(widthPx, heightPx, limits);
  const raw = new Uint8ClampedArray(widthPx * heightPx * 4);
  await new Promise<void>((resolve, reject) => {
    first.display({ data: raw, width: widthPx, height: heightPx }, (shown) => {
      if (shown === null) reject(damaged('its picture cannot be decoded'));
      else resolve();
    });
  });
  return { raw: new Uint8Array(raw.buffer), widthPx, heightPx, frames: pictures.length };
}

export function checkPixels(widthPx: number, heightPx: number, limits: ImagingLimits): void {
  if (widthPx * heightPx > limits.maxPixels) {
    throw new ImagingError(
      'pixels-too-many',
      `The picture would unpack to ${widthPx} × ${heightPx} pixels; at most ${limits.maxPixels} are taken here. Send a smaller scan.`,
    );
  }
}
