/**
 * The fields of a picture's metadata that the archive shows, split in two: what may stand in an
 * entry of the ledger (and so in every dossier), and what names a place, a person or one very
 * camera. The second kind stays in the original; the record only says that it is there.
 */

export interface ExifFields {
  /** shown and handed out */
  open: Readonly<Record<string, string | number>>;
  /** which fields of the private kind the original holds */
  keptInOriginal: readonly ('place' | 'serial numbers' | 'names')[];
}

const OPEN = [
  'Make',
  'Model',
  'LensModel',
  'DateTimeOriginal',
  'OffsetTimeOriginal',
  'CreateDate',
  'ExposureTime',
  'FNumber',
  'ISO',
  'FocalLength',
  'FocalLengthIn35mmFormat',
  'ExposureCompensation',
  'Flash',
  'WhiteBalance',
  'Orientation',
  'XResolution',
  'YResolution',
  'ResolutionUnit',
  'ColorSpace',
  'Software',
] as const;
const SERIALS = [
  'SerialNumber',
  'BodySerialNumber',
  'LensSerialNumber',
  'CameraSerialNumber',
  'ImageUniqueID',
];
const NAMES = ['Artist', 'OwnerName', 'CameraOwnerName', 'Copyright', 'XPAuthor', 'Creator'];

const MAX_TEXT = 200;

/** @param tags flat tag → value as read, values of any type */
export function splitExif(tags: Readonly<Record<string, unknown>>): ExifFields {
  const open: Record<string, string | number> = {};
  for (const name of OPEN) {
    const value = tags[name];
    if (typeof value === 'number' && Number.isFinite(value)) open[name] = value;
    // control characters and padding come with many cameras
    if (typeof value === 'string')
      open[name] = value
        .replace(/\p{Cc}/gu, '')
        .trim()
        .slice(0, MAX_TEXT);
  }
  const keptInOriginal: ExifFields['keptInOriginal'][number][] = [];
  if (Object.keys(tags).some((name) => name.startsWith('GPS'))) keptInOriginal.push('place');
  if (SERIALS.some((name) => name in tags)) keptInOriginal.push('serial numbers');
  if (NAMES.some((name) => name in tags)) keptInOriginal.push('names');
  return { open, keptInOriginal };
}
