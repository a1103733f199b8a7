import type { ByteRange } from '#libs/objects';

/**
 * One byte range of a Range field (RFC 9110 section 14.1.2): `bytes=0-99`, `bytes=100-`, `bytes=-50`.
 *
 * @returns undefined where the whole answer is due (no field, another unit, several ranges),
 * 'outside' where no byte of the file is asked for
 */
export function readByteRange(
  field: string | undefined,
  sizeBytes: number,
): ByteRange | 'outside' | undefined {
  const match = /^bytes=(\d*)-(\d*)$/.exec(field?.trim() ?? '');
  if (match === null) return undefined;
  const [first, last] = [match[1]!, match[2]!];
  if (first === '' && last === '') return undefined;
  if (first === '') {
    const tail = Math.min(Number(last), sizeBytes);
    return tail === 0 ? 'outside' : { start: sizeBytes - tail, end: sizeBytes };
  }
  const start = Number(first);
  if (last !== '' && Number(last) < start) return undefined; // invalid, so ignored
  const end = last === '' ? sizeBytes : Math.min(Number(last) + 1, sizeBytes);
  return start >= sizeBytes ? 'outside' : { start, end };
}
