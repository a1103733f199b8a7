import { type FileHandle, open } from 'node:fs/promises';
import { ImagingError } from '../imaging-error.js';
import type { ImagingLimits } from '../imaging-limits.js';
import { FORMATS_TAKEN, HEAD_BYTES, type MediaFormat, sniffFormat } from '../media-format.js';

/**
 * Format by the first bytes; a DNG still looks like a TIFF.
 *
 * @throws {ImagingError} `file-empty`, `file-too-large`, `format-refused`
 */
export async function sniffFile(
  file: FileHandle,
  limits: ImagingLimits,
): Promise<{ format: MediaFormat; sizeBytes: number }> {
  const { size } = await file.stat();
  if (size === 0) {
    throw new ImagingError(
      'file-empty',
      'The file has no bytes. Save or export it again, then send it.',
    );
  }
  if (size > limits.maxBytes) {
    throw new ImagingError(
      'file-too-large',
      `The file has ${size} bytes; at most ${limits.maxBytes} are taken here.`,
    );
  }
  const head = Buffer.alloc(Math.min(size, HEAD_BYTES));
  await file.read(head, 0, head.length, 0);
  const sniffed = sniffFormat(head);
  if ('refused' in sniffed) {
    throw new ImagingError(
      'format-refused',
      `The file is ${sniffed.refused}, by its content. Send ${FORMATS_TAKEN}.`,
    );
  }
  return { format: sniffed.format, sizeBytes: size };
}

export async function withFile<T>(path: string, use: (file: FileHandle) => Promise<T>): Promise<T> {
  const file = await open(path, 'r');
  try {
    return await use(file);
  } finally {
    await file.close();
  }
}
