/** Bytes as text and back, and their comparison; strict where standards are (RFC 4648). */

const HEX = Array.from({ length: 256 }, (_, byte) => byte.toString(16).padStart(2, '0'));
const BASE64 = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';

export function bytesEqual(a: Uint8Array, b: Uint8Array): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}

export function hexOf(bytes: Uint8Array): string {
  let text = '';
  for (const byte of bytes) text += HEX[byte]!;
  return text;
}

/** @returns undefined unless the text is an even number of lower-case hexadecimal digits */
export function bytesOfHex(text: string): Uint8Array | undefined {
  if (text.length % 2 !== 0 || !/^[0-9a-f]*$/.test(text)) return undefined;
  const bytes = new Uint8Array(text.length / 2);
  for (let i = 0; i < bytes.length; i++) bytes[i] = parseInt(text.slice(2 * i, 2 * i + 2), 16);
  return bytes;
}

/** Standard alphabet with padding (RFC 4648 section 4). */
export function base64Of(bytes: Uint8Array): string {
  let text = '';
  for (let i = 0; i < bytes.length; i += 3) {
    const b = bytes[i + 1];
    const c = bytes[i + 2];
    const word = (bytes[i]! << 16) | ((b ?? 0) << 8) | (c ?? 0);
    text += BASE64[word >> 18]! + BASE64[(word >> 12) & 63]!;
    text += b === undefined ? '=' : BASE64[(word >> 6) & 63]!;
    text += c === undefined ? '=' : BASE64[word & 63]!;
  }
  return text;
}

/**
 * @returns undefined unless the text is the one base64 form of some bytes: padding present and
 * spare bits zero, so that no two texts stand for one signature (RFC 4648 section 3.5)
 */
export function bytesOfBase64(text: string): Uint8Array | undefined {
  if (text.length % 4 !== 0 || !/^[A-Za-z0-9+/]*={0,2}$/.test(text)) return undefined;
  const padding = text.endsWith('==') ? 2 : text.endsWith('=') ? 1 : 0;
  const bytes = new Uint8Array((text.length / 4) * 3 - padding);
  let word = 0;
  let bits = 0;
  let at = 0;
  for (const letter of text.slice(0, text.length - padding)) {
    word = ((word << 6) | BASE64.indexOf(letter)) & 0xffffff;
    bits += 6;
    if (bits >= 8) {
      bits -= 8;
      bytes[at++] = (word >> bits) & 0xff;
    }
  }
  return base64Of(bytes) === text ? bytes : undefined;
}
