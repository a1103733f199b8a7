/**
 * A random UUID (RFC 9562 § 5.4). Browsers give `crypto.randomUUID` to secure pages only; an archive that
 * was forced onto plain HTTP works all the same.
 */
export function newId(): string {
  const { crypto } = globalThis as { crypto: Partial<Crypto> & Pick<Crypto, 'getRandomValues'> };
  if (crypto.randomUUID !== undefined) return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6]! & 0x0f) | 0x40;
  bytes[8] = (bytes[8]! & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5');
}
