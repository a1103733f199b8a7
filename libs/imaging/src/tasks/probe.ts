import exifr from 'exifr';
import type { Sharp } from 'sharp';
import type { Probe } from '../decode-protocol.js';
import { type ExifFields, splitExif } from '../exif-fields.js';
import { ImagingError } from '../imaging-error.js';
import type { ImagingLimits } from '../imaging-limits.js';
import { CONTENT_TYPES } from '../media-format.js';
import { checkPixels, openPicture } from './open-picture.js';
import { type ProbeRequest, promiseNotes } from './probe-document.js';

/**
 * Reads what a picture is and decodes it once from end to end, so that a file that broke off on its
 * way is refused now and not found out years later.
 *
 * @throws {ImagingError}
 */
export async function probe(request: ProbeRequest, limits: ImagingLimits): Promise<Probe> {
  const opened = await openPicture(request.path, limits);
  const { format, sizeBytes } = opened;
  if (opened.frames > limits.maxFrames) {
    throw new ImagingError(
      'frames-too-many',
      `The file holds ${opened.frames} pictures (an animation or pages); at most ${limits.maxFrames} is taken. Send each picture as a file of its own.`,
    );
  }
  const metadata = await opened.picture.clone().metadata();
  checkPixels(metadata.width, metadata.height, limits);
  await decodeOnce(opened.picture);

  const notes = promiseNotes(format, request);
  if (opened.fromPreview) {
    notes.push(
      'Shown from the preview inside the raw file; the raw file itself is kept untouched.',
    );
  }
  if (metadata.space === 'cmyk') {
    notes.push('Shown converted from CMYK to sRGB; the original keeps its printing colours.');
  }
  const exif = await readExif(request.path, notes);
  return {
    format,
    contentType: CONTENT_TYPES[format],
    sizeBytes,
    notes,
    widthPx: metadata.autoOrient.width,
    heightPx: metadata.autoOrient.height,
    bitsPerSample: metadata.bitsPerSample ?? (metadata.depth === 'ushort' ? 16 : 8),
    frames: opened.frames,
    orientation: opened.isUpright ? 1 : (metadata.orientation ?? 1),
    colourSpace: metadata.space,
    ...(exif === undefined ? {} : { exif }),
  };
}

/** Every line must decode; 16 × 16 pixels are kept of it. */
async function decodeOnce(picture: Sharp): Promise<void> {
  await picture.clone().resize(16, 16, { fit: 'fill' }).raw().toBuffer();
}

async function readExif(path: string, notes: string[]): Promise<ExifFields | undefined> {
  try {
    const tags = (await exifr.parse(path, {
      tiff: true,
      exif: true,
      gps: true,
      xmp: false,
      icc: false,
      iptc: false,
      makerNote: false,
      userComment: false,
      // as written: a date without a zone must not be shifted into this machine's
      reviveValues: false,
    })) as Record<string, unknown> | undefined;
    return tags === undefined ? undefined : splitExif(tags);
  } catch {
    notes.push('The camera data in the file could not be read; the picture could.');
    return undefined;
  }
}
