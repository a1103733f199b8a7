import type { FileHandle } from 'node:fs/promises';
import type { Probe } from '../decode-protocol.js';
import { damaged } from '../imaging-error.js';
import type { ImagingLimits } from '../imaging-limits.js';
import { CONTENT_TYPES, formatOfName, type MediaFormat } from '../media-format.js';
import { sniffFile, withFile } from './sniff-file.js';

export interface ProbeRequest {
  path: string;
  fileName?: string;
  declaredType?: string;
}

/**
 * What a file is that is kept as it is: a look at its first and its last bytes. Nothing is decoded, so
 * that no process of its own is needed for it.
 *
 * @returns undefined for a picture
 * @throws {ImagingError}
 */
export function probeDocument(
  request: ProbeRequest,
  limits: ImagingLimits,
): Promise<Probe | undefined> {
  return withFile(request.path, async (file) => {
    const { format, sizeBytes } = await sniffFile(file, limits);
    if (format !== 'pdf') return undefined;
    await checkPdfIsWhole(file, sizeBytes);
    return {
      format,
      contentType: CONTENT_TYPES[format],
      sizeBytes,
      notes: promiseNotes(format, request),
      frames: 1,
      orientation: 1,
    };
  });
}

/** Where name or declared type promise something else than the content is. */
export function promiseNotes(format: MediaFormat, request: ProbeRequest): string[] {
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

/** ISO 32000-1 7.5.5: the last lines hold startxref and %%EOF; readers look in the last 1,024 bytes. */
async function checkPdfIsWhole(file: FileHandle, sizeBytes: number): Promise<void> {
  const tail = Buffer.alloc(Math.min(1024, sizeBytes));
  await file.read(tail, 0, tail.length, sizeBytes - tail.length);
  if (!tail.includes('%%EOF')) throw damaged('the end of the PDF is missing');
}
