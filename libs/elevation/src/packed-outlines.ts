/**
 * Outlines of a whole window in few bytes, for drawing it at once.
 *
 * Format `MLNO`, version 1: 4 bytes magic, 1 byte version, then variable-length integers (7 bits a
 * byte, low first): tolerance in steps, number of outlines; for each the number of code points its
 * name shares with the name before, the number of bytes that follow, these bytes (UTF-8), the number
 * of its rings, and for each ring its number of points and the points as differences from the point
 * before, zigzag, in steps of 0.1 mm. The first point of a ring differs from the first point of the
 * ring before (from the origin at first).
 */
import { simplifyRing, type XyMm } from '#libs/net';
import { ElevationError } from './elevation-error.js';

export interface NamedOutline {
  /** '2b.17': any text; the caller's key. */
  readonly name: string;
  readonly ringsMm: readonly (readonly XyMm[])[];
}

export interface PackOptions {
  /** Rings are simplified by no more than this before rounding; 0.5 mm by default. */
  readonly toleranceMm?: number;
  /** When the bytes are more than this the tolerance is raised, up to 8 times, until they are not. */
  readonly maxBytes?: number;
}

export const PACKED_STEP_MM = 0.1;
const MAGIC = [0x4d, 0x4c, 0x4e, 0x4f];
const VERSION = 1;
const RAISE = 1.4;

/**
 * Rings that shrink to fewer than three points are left out; order and names are kept.
 *
 * @throws {ElevationError} `bad-outline` when `maxBytes` cannot be reached
 */
export function packOutlines(
  outlines: readonly NamedOutline[],
  { toleranceMm = 0.5, maxBytes = Infinity }: PackOptions = {},
): Uint8Array {
  for (let tolerance = toleranceMm; ; tolerance *= RAISE) {
    const bytes = pack(outlines, tolerance);
    if (bytes.length <= maxBytes) return Uint8Array.from(bytes);
    if (tolerance > 8 * toleranceMm) {
      throw new ElevationError(
        'bad-outline',
        `${outlines.length} outlines do not fit ${maxBytes} bytes: draw fewer at once`,
      );
    }
  }
}

function pack(outlines: readonly NamedOutline[], toleranceMm: number): number[] {
  const out: number[] = [...MAGIC, VERSION];
  const put = (value: number) => {
    let rest = value;
    while (rest > 0x7f) {
      out.push((rest & 0x7f) | 0x80);
      rest = Math.floor(rest / 128);
    }
    out.push(rest);
  };
  const putSigned = (value: number) => {
    put(value >= 0 ? 2 * value : -2 * value - 1);
  };
  put(Math.round(toleranceMm / PACKED_STEP_MM));
  put(outlines.length);
  let before: string[] = [];
  let startX = 0;
  let startY = 0;
  for (const { name, ringsMm } of outlines) {
    const letters = Array.from(name);
    let shared = 0;
    while (shared < letters.length && letters[shared] === before[shared]) shared++;
    before = letters;
    const text = utf8(letters.slice(shared));
    put(shared);
    put(text.length);
    out.push(...text);
    const rings = ringsMm
      .map((ring) => steps(simplifyRing(ring, toleranceMm)))
      .filter((ring) => ring.length >= 3);
    put(rings.length);
    for (const ring of rings) {
      put(ring.length);
      let [x, y] = [startX, startY];
      for (const [nextX, nextY] of ring) {
        putSigned(nextX - x);
        putSigned(nextY - y);
        [x, y] = [nextX, nextY];
      }
      [startX, startY] = ring[0]!;
    }
  }
  return out;
}

const tooEarly = () => new ElevationError('bad-outline', 'the packed outline ends too early');

/**
 * @throws {ElevationError} `bad-outline` when the bytes are not of this format and version, end too
 *   early or go on after the end
 */
export function unpackOutlines(bytes: Uint8Array): NamedOutline[] {
  if (MAGIC.some((byte, i) => bytes[i] !== byte)) {
    throw new ElevationError('bad-outline', 'these bytes are not a packed outline');
  }
  if (bytes[4] !== VERSION) {
    throw new ElevationError(
      'bad-outline',
      `packed outline of version ${bytes[4] ?? 'none'}; this program reads version ${VERSION}`,
    );
  }
  let at = 5;
  const next = () => {
    const byte = bytes[at++];
    if (byte === undefined) throw tooEarly();
    return byte;
  };
  const get = () => {
    let byte = next();
    if (byte < 0x80) return byte; // most differences are as short
    let value = byte & 0x7f;
    for (let scale = 128; byte >= 0x80; scale *= 128) {
      if (scale > 2 ** 49) throw new ElevationError('bad-outline', 'a number is too long');
      byte = next();
      value += (byte & 0x7f) * scale;
    }
    return value;
  };
  const getSigned = () => {
    const value = get();
    return value % 2 === 0 ? value / 2 : -(value + 1) / 2;
  };
  const getName = () => {
    const length = get();
    const from = at;
    at += length;
    if (at > bytes.length) throw tooEarly();
    return fromUtf8(bytes.subarray(from, at));
  };
  get();
  const count = get();
  let before: string[] = [];
  const out: NamedOutline[] = [];
  let startX = 0;
  let startY = 0;
  for (let i = 0; i < count; i++) {
    const shared = before.slice(0, get());
    const name = shared.join('') + getName();
    before = Array.from(name);
    const ringsMm: XyMm[][] = [];
    const rings = get();
    for (let r = 0; r < rings; r++) {
      const points = get();
      const ring: XyMm[] = [];
      let [x, y] = [startX, startY];
      for (let p = 0; p < points; p++) {
        x += getSigned();
        y += getSigned();
        if (p === 0) [startX, startY] = [x, y];
        ring.push([x / 10, y / 10]);
      }
      ringsMm.push(ring);
    }
    out.push({ name, ringsMm });
  }
  if (at !== bytes.length) {
    throw new ElevationError('bad-outline', 'the packed outline goes on after its end');
  }
  return out;
}

/** To whole steps, repeated points dropped. */
function steps(ring: readonly XyMm[]): XyMm[] {
  const rounded = ring.map(
    ([x, y]): XyMm => [Math.round(x / PACKED_STEP_MM), Math.round(y / PACKED_STEP_MM)],
  );
  return rounded.filter(([x, y], i) => {
    const [px, py] = rounded[(i + rounded.length - 1) % rounded.length]!;
    return x !== px || y !== py;
  });
}

// TextEncoder is not in the language itself, and a pure lib takes nothing else.
function utf8(letters: readonly string[]): number[] {
  const out: number[] = [];
  for (const letter of letters) {
    const code = letter.codePointAt(0)!;
    if (code < 0x80) out.push(code);
    else if (code < 0x800) out.push(0xc0 | (code >> 6), 0x80 | (code & 63));
    else if (code < 0x10000)
      out.push(0xe0 | (code >> 12), 0x80 | ((code >> 6) & 63), 0x80 | (code & 63));
    else
      out.push(
        0xf0 | (code >> 18),
        0x80 | ((code >> 12) & 63),
        0x80 | ((code >> 6) & 63),
        0x80 | (code & 63),
      );
  }
  return out;
}

function fromUtf8(bytes: Uint8Array): string {
  let text = '';
  for (let i = 0; i < bytes.length; ) {
    const lead = bytes[i]!;
    const more = lead < 0x80 ? 0 : lead < 0xe0 ? 1 : lead < 0xf0 ? 2 : 3;
    let code = more === 0 ? lead : lead & (0x3f >> more);
    for (let k = 1; k <= more; k++) code = (code << 6) | ((bytes[i + k] ?? 0) & 63);
    if (code > 0x10ffff) throw new ElevationError('bad-outline', 'a name is not UTF-8');
    text += String.fromCodePoint(code);
    i += more + 1;
  }
  return text;
}
