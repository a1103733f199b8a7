import { open } from 'node:fs/promises';
import exifr from 'exifr';
import type { Sharp } from 'sharp';
import type { Probe } from '../decode-protocol.js';
import { type ExifFields, splitExif } from '../exif-fields.js';
import { ImagingError } from '../imaging-error.js';
import type { ImagingLimits } from '../imaging-limits.js';
import { CONTENT_TYPES, formatOfName, type MediaFormat } from '../media-format.js';
import { checkPixels, damaged, openPicture, tellFormat } from './open-picture.js';

export interface ProbeRequest {
  path: string;
  fileName?: string;
  declaredType?: string;
}

/**
 * Reads what a file is and decodes it once from end to end, so that a file that broke off on its
 * way is refused now and not found out years later.
 *
 * @throws {ImagingError}
 */
export async function probe(request: ProbeRequest, limits: ImagingLimits): Promise<Probe> {
  const told = await tellFormat(request.path, limits);
  const base = {
    format: told.format,
    contentType: CONTENT_TYPES[told.format],
    sizeBytes: told.sizeBytes,
    notes: promiseNotes(told.format, request),
  };
  if (told.format === 'pdf') {
    await checkPdfIsWhole(request.path, told.sizeBytes);
    return { ...base, frames: 1, orientation: 1 };
  }

  const opened = await openPicture(request.path, limits);
  if (opened.frames > limits.maxFrames) {
    throw new ImagingError(
      'frames-too-many',
      `The file holds ${opened.frames} pictures (an animation or pages); at most ${limits.maxFrames} is taken. Send each picture as a file of its own.`,
    );
  }
  const metadata = await opened.picture.clone().metadata();
  checkPixels(metadata.width, metadata.height, limits);
  await decodeOnce(opened.picture);

  const notes = [...base.notes];
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
    ...base,
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

function promiseNotes(format: MediaFormat, request: ProbeRequest): string[] {
  const byName = request.fileName === undefined ? undefined : formatOfName(request.fileName);
  const notes: string[] = [];
  if (byName !== undefined && byName !== format) {
    notes.push(
      `The name ${request.fileName} promises ${byName}, the content is ${format}; kept as ${format}.`,
    );
  }
  const type = request.declaredType?.split(';')[0]?.trim().toLowerCase();
  const isGeneral =
    type === undefined ||
    type === '' ||
    /^application\/(octet-stream|offset\+octet-stream)$/.test(type);
  if (!isGeneral && type !== CONTENT_TYPES[format] && byName === format) {
    notes.push(`It was sent as ${type}, the content is ${CONTENT_TYPES[format]}.`);
  }
  return notes;
}

/** Every line must decode; 16 × 16 pixels are kept of it. */
async function decodeOnce(picture: Sharp): Promise<void> {
  await picture.clone().resize(16, 16, { fit: 'fill' }).raw().toBuffer();
}

/** ISO 32000-1 7.5.5: the last lines hold startxref and %%EOF; readers look in the last 1,024 bytes. */
async function checkPdfIsWhole(path: string, sizeBytes: number): Promise<void> {
  const handle = await open(path, 'r');
  try {
    const tail = Buffer.alloc(Math.min(1024, sizeBytes));
    await handle.read(tail, 0, tail.length, sizeBytes - tail.length);
    if (!tail.includes('%%EOF')) throw damaged('the end of the PDF is missing');
  } finally {
    await handle.close();
  }
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
