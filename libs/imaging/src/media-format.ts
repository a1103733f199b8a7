/**
 * What a file is, told by its first bytes. An allow-list: what is not on it is refused by name.
 * Sources of the signatures: JPEG ITU-T T.81 B.1, PNG (W3C) 5.2, TIFF 6.0 section 2 and BigTIFF,
 * RIFF/WebP RFC 9649 2.1, ISO/IEC 14496-12 4.3 and 23008-12 10 (brands), PDF ISO 32000-1 7.5.2;
 * of the refused ones from memory.
 */

export type MediaFormat = 'jpeg' | 'png' | 'tiff' | 'webp' | 'heic' | 'dng' | 'pdf';

export const CONTENT_TYPES: Readonly<Record<MediaFormat, string>> = {
  jpeg: 'image/jpeg',
  png: 'image/png',
  tiff: 'image/tiff',
  webp: 'image/webp',
  heic: 'image/heic',
  dng: 'image/x-adobe-dng',
  pdf: 'application/pdf',
};

const ENDINGS: Readonly<Record<string, MediaFormat>> = {
  jpg: 'jpeg',
  jpeg: 'jpeg',
  png: 'png',
  tif: 'tiff',
  tiff: 'tiff',
  webp: 'webp',
  heic: 'heic',
  heif: 'heic',
  dng: 'dng',
  pdf: 'pdf',
};

export const FORMATS_TAKEN = 'JPEG, PNG, TIFF, WebP, HEIC, DNG or PDF';

/** How many first bytes `sniffFormat` wants to see. */
export const HEAD_BYTES = 4096;

export type Sniffed = { format: MediaFormat } | { refused: string };

/**
 * Format by the first bytes. A DNG looks like a TIFF here: only its directory tells them apart.
 *
 * @param head the first `HEAD_BYTES` bytes, or all of a shorter file
 */
export function sniffFormat(head: Uint8Array): Sniffed {
  const text = latin(head);
  const at = (start: number, signature: string): boolean => text.startsWith(signature, start);

  if (at(0, '\xff\xd8\xff')) return { format: 'jpeg' };
  if (at(0, '\x89PNG\r\n\x1a\n')) return { format: 'png' };
  if (at(0, 'II*\0') || at(0, 'MM\0*') || at(0, 'II+\0') || at(0, 'MM\0+')) {
    return { format: 'tiff' };
  }
  if (at(0, 'RIFF') && at(8, 'WEBP')) return { format: 'webp' };
  if (at(4, 'ftyp')) return sniffBrand(text);
  // readers accept the header anywhere in the first 1,024 bytes
  const pdf = text.indexOf('%PDF-');
  if (pdf >= 0 && pdf < 1024) return { format: 'pdf' };
  return { refused: refusedName(text) };
}

/** The format that a file name promises, if its ending is one we know. */
export function formatOfName(fileName: string): MediaFormat | undefined {
  const ending = /\.([^.]+)$/.exec(fileName)?.[1];
  return ending === undefined ? undefined : ENDINGS[ending.toLowerCase()];
}

function sniffBrand(text: string): Sniffed {
  const size = text.charCodeAt(2) * 256 + text.charCodeAt(3);
  const brands = [text.slice(8, 12), ...(text.slice(16, size).match(/[^]{4}/g) ?? [])];
  if (brands.some((brand) => brand === 'avif' || brand === 'avis')) return { refused: 'AVIF' };
  if (brands[0] === 'hevc' || brands[0] === 'hevx' || brands[0] === 'msf1') {
    return { refused: 'a HEIF picture sequence' };
  }
  if (brands.some((brand) => ['heic', 'heix', 'heim', 'heis'].includes(brand))) {
    return { format: 'heic' };
  }
  return { refused: `a film or another file of the brand ${printable(brands[0] ?? '')}` };
}

function refusedName(text: string): string {
  const start = text.replace(/^\xef\xbb\xbf/, '').trimStart();
  const named: readonly (readonly [string, boolean])[] = [
    ['GIF', start.startsWith('GIF8')],
    ['BMP', start.startsWith('BM')],
    ['Photoshop', start.startsWith('8BPS')],
    ['JPEG XL', text.startsWith('\xff\x0a') || text.startsWith('JXL ', 4)],
    ['JPEG 2000', text.startsWith('jP  ', 4)],
    ['ZIP', text.startsWith('PK\x03\x04')],
    ['SVG', start.startsWith('<') && /<svg[\s>]/i.test(start)],
    ['HTML', /^<(!doctype )?html/i.test(start)],
    ['XML', start.startsWith('<?xml')],
  ];
  return named.find(([, isIt]) => isIt)?.[0] ?? 'of a kind that is not recognised';
}

function latin(bytes: Uint8Array): string {
  let text = '';
  for (const byte of bytes) text += String.fromCharCode(byte);
  return text;
}

function printable(text: string): string {
  return JSON.stringify(text.replace(/[^ -~]/g, '?'));
}
