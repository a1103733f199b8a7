import { createHash } from 'node:crypto';

/**
 * The id of an upload that was begun with an `Idempotency-Key`: the same person and key give the same id.
 *
 * @returns a UUID of version 8 (RFC 9562 § 5.8), from SHA-256 of both
 */
export function announcedUploadId(personId: string, idempotencyKey: string): string {
  const bytes = createHash('sha256')
    .update(`upload\n${personId}\n${idempotencyKey}`)
    .digest()
    .subarray(0, 16);
  bytes[6] = (bytes[6]! & 0x0f) | 0x80;
  bytes[8] = (bytes[8]! & 0x3f) | 0x80;
  const hex = bytes.toString('hex');
  return [
    hex.slice(0, 8),
    hex.slice(8, 12),
    hex.slice(12, 16),
    hex.slice(16, 20),
    hex.slice(20),
  ].join('-');
}
