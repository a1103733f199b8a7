/** What a picture's own data tell beside the picture: where it was taken, and by whose camera. */

import exifr from 'exifr';

/** Data about a picture stand near its head; a picture larger than this is read no further. */
const READ_BYTES_MAX = 1 << 26;

const SERIALS = [
  'SerialNumber',
  'BodySerialNumber',
  'LensSerialNumber',
  'CameraSerialNumber',
  'InternalSerialNumber',
];
const NAMES = [
  'Artist',
  'CameraOwnerName',
  'OwnerName',
  'Creator',
  'creator',
  'Copyright',
  'rights',
];

export function isPicture(path: string): boolean {
  return /\.(jpe?g|png|tiff?|webp|heic|avif|dng)$/i.test(path);
}

/** @returns 'a place', 'serial numbers', 'names'; empty for a picture that tells nothing */
export async function privateDetails(
  chunks: AsyncIterable<Uint8Array> | Iterable<Uint8Array>,
): Promise<string[]> {
  const parts: Uint8Array[] = [];
  let sizeBytes = 0;
  for await (const chunk of chunks) {
    parts.push(chunk);
    sizeBytes += chunk.length;
    if (sizeBytes > READ_BYTES_MAX) break;
  }
  const tags = await tagsOf(Buffer.concat(parts));
  const has = (names: readonly string[]) => names.some((name) => name in tags);
  return [
    ...(Object.keys(tags).some((name) => /^GPS|^(latitude|longitude)$/i.test(name))
      ? ['a place']
      : []),
    ...(has(SERIALS) ? ['serial numbers'] : []),
    ...(has(NAMES) ? ['names'] : []),
  ];
}

async function tagsOf(picture: Buffer): Promise<Record<string, unknown>> {
  const options = { tiff: true, exif: true, gps: true, xmp: true, iptc: true, mergeOutput: true };
  try {
    return ((await exifr.parse(picture, options)) as Record<string, unknown> | undefined) ?? {};
  } catch (cause) {
    // A format that the reader does not know (a WebP) says so; nothing was read then.
    if (cause instanceof Error && /unknown file format/i.test(cause.message)) return {};
    throw cause;
  }
}
