/**
 * Canonical JSON: one value, one byte string.
 *
 * Source: RFC 8785 (JSON Canonicalization Scheme): keys sorted by UTF-16 code units, no white
 * space, numbers as ECMAScript prints them, strings with the shortest escapes, UTF-8 without
 * normalisation. What I-JSON (RFC 7493) cannot carry is refused, never mended.
 */

export type JsonValue =
  | null
  | boolean
  | number
  | string
  | readonly JsonValue[]
  | { readonly [key: string]: JsonValue };

export type CanonicalFault = 'not-json' | 'number' | 'text' | 'too-deep' | 'not-canonical';

export class CanonicalError extends Error {
  override readonly name = 'CanonicalError';

  /** @param path where in the value, e.g. `payload.ringMm[3]`; empty for the value itself */
  constructor(
    readonly fault: CanonicalFault,
    readonly path: string,
    message: string,
  ) {
    super(path === '' ? message : `${path}: ${message}`);
  }
}

/** Deeper values are refused: no record needs them, and they would exhaust the stack of a reader. */
const DEEPEST = 128;

// With the u flag a surrogate matches only when it stands alone.
const LONE_SURROGATE = /[\ud800-\udfff]/u;

const encoder = new TextEncoder();
const decoder = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });

/**
 * The canonical text of a value.
 *
 * @throws CanonicalError for NaN, infinities, lone surrogates, `undefined`, functions, bigints and
 * objects that are not plain (a Date, a Map): say what you mean before it is signed.
 */
export function canonicalText(value: unknown): string {
  const arranged = inOrder(value, 0);
  if (arranged !== undefined) {
    const text = JSON.stringify(arranged);
    // half a surrogate pair is escaped, which the other way of writing names with its place
    if (!text.includes('\\ud')) return text;
  }
  return write(value, '', 0);
}

/** The canonical UTF-8 bytes of a value. @throws CanonicalError as `canonicalText` */
export function canonicalBytes(value: unknown): Uint8Array {
  return encoder.encode(canonicalText(value));
}

/**
 * Reads bytes that must be canonical. Duplicate keys, white space, other number forms or escapes
 * are all found by writing the value again and comparing.
 *
 * @throws CanonicalError `not-json` or `not-canonical`
 */
export function parseCanonical(bytes: Uint8Array): JsonValue {
  let text: string;
  let value: JsonValue;
  try {
    text = decoder.decode(bytes);
    value = JSON.parse(text) as JsonValue;
  } catch (cause) {
    const detail = cause instanceof Error ? cause.message : String(cause);
    throw new CanonicalError('not-json', '', `not UTF-8 JSON (${detail})`);
  }
  if (!isPlainlyCanonical(text, value) && canonicalText(value) !== text) {
    throw new CanonicalError('not-canonical', '', 'JSON, but not in canonical form (RFC 8785)');
  }
  return value;
}

/**
 * The platform's own writer agrees with RFC 8785 but for the order of keys and for half surrogate
 * pairs, and is several times as fast as ours; what it does not settle (keys that look like array
 * indices, which JavaScript puts first) is left to ours.
 */
function isPlainlyCanonical(text: string, value: JsonValue): boolean {
  return !text.includes('\\ud') && JSON.stringify(value) === text && hasSortedKeys(value, 0);
}

function hasSortedKeys(value: JsonValue, depth: number): boolean {
  if (typeof value !== 'object' || value === null) return true;
  if (depth >= DEEPEST) return false;
  if (Array.isArray(value)) {
    return (value as readonly JsonValue[]).every((one) => hasSortedKeys(one, depth + 1));
  }
  let before: string | undefined;
  const record = value as Readonly<Record<string, JsonValue>>;
  for (const key of Object.keys(record)) {
    // Comparison of strings is by UTF-16 code units, as RFC 8785 section 3.2.3 asks.
    if (before !== undefined && key <= before) return false;
    before = key;
    if (!hasSortedKeys(record[key]!, depth + 1)) return false;
  }
  return true;
}

/**
 * The value with sorted keys, so that the platform's own writer gives the canonical text; undefined
 * where it would not: what has to be refused, and keys that JavaScript puts in an order of its own.
 */
function inOrder(value: unknown, depth: number): unknown {
  switch (typeof value) {
    case 'string':
    case 'boolean':
      return value;
    case 'number':
      return Number.isFinite(value) ? value : undefined;
    case 'object':
      if (value === null) return null;
      if (depth >= DEEPEST) return undefined;
      return Array.isArray(value) ? listInOrder(value, depth) : membersInOrder(value, depth);
    default:
      return undefined;
  }
}

function listInOrder(values: readonly unknown[], depth: number): readonly unknown[] | undefined {
  if (Object.getPrototypeOf(values) !== Array.prototype) return undefined;
  let arranged: unknown[] | undefined;
  for (let i = 0; i < values.length; i++) {
    const one = inOrder(values[i], depth + 1);
    if (one === undefined) return undefined;
    if (one === values[i]) continue;
    arranged ??= [...values];
    arranged[i] = one;
  }
  return arranged ?? values;
}

function membersInOrder(value: object, depth: number): object | undefined {
  const prototype: unknown = Object.getPrototypeOf(value);
  if (prototype !== Object.prototype && prototype !== null) return undefined;
  const members = value as Readonly<Record<string, unknown>>;
  const keys = Object.keys(value);
  let isSorted = true;
  for (let i = 0; i < keys.length; i++) {
    const key = keys[i]!;
    const first = key.charCodeAt(0);
    // '0' to '9' may begin an array index; '__proto__' is no member when it is assigned
    if ((first >= 48 && first <= 57) || key === '__proto__') return undefined;
    if (i > 0 && key < keys[i - 1]!) isSorted = false;
  }
  if (!isSorted) keys.sort();
  const arranged: Record<string, unknown> = {};
  for (const key of keys) {
    const one = inOrder(members[key], depth + 1);
    if (one === undefined) return undefined;
    arranged[key] = one;
  }
  return arranged;
}

function write(value: unknown, path: string, depth: number): string {
  switch (typeof value) {
    case 'string':
      return writeText(value, path);
    case 'number':
      if (!Number.isFinite(value)) {
        throw new CanonicalError(
          'number',
          path,
          `${value} has no JSON form; expected a finite number`,
        );
      }
      // RFC 8785 section 3.2.2.3: Number::toString, with minus zero written as 0.
      return Object.is(value, -0) ? '0' : String(value);
    case 'boolean':
      return value ? 'true' : 'false';
    case 'object':
      if (value === null) return 'null';
      if (depth >= DEEPEST) {
        throw new CanonicalError('too-deep', path, `more than ${DEEPEST} levels of nesting`);
      }
      return Array.isArray(value)
        ? writeArray(value, path, depth)
        : writeObject(value as Record<string, unknown>, path, depth);
    default:
      throw new CanonicalError('not-json', path, `${typeof value} has no JSON form`);
  }
}

function writeText(text: string, path: string): string {
  if (LONE_SURROGATE.test(text)) {
    throw new CanonicalError('text', path, 'half a surrogate pair; expected well-formed Unicode');
  }
  // JSON.stringify escapes exactly as RFC 8785 section 3.2.2.2 asks for well-formed text.
  return JSON.stringify(text);
}

function writeArray(values: readonly unknown[], path: string, depth: number): string {
  let text = '[';
  for (let i = 0; i < values.length; i++) {
    if (i > 0) text += ',';
    text += write(values[i], `${path}[${i}]`, depth + 1);
  }
  return `${text}]`;
}

function writeObject(value: Record<string, unknown>, path: string, depth: number): string {
  const prototype: unknown = Object.getPrototypeOf(value);
  if (prototype !== Object.prototype && prototype !== null) {
    throw new CanonicalError('not-json', path, 'expected a plain object');
  }
  let text = '{';
  // Array.prototype.sort without a comparator orders by UTF-16 code units (RFC 8785 section 3.2.3).
  for (const key of Object.keys(value).sort()) {
    if (text.length > 1) text += ',';
    const member = path === '' ? key : `${path}.${key}`;
    text += `${writeText(key, member)}:${write(value[key], member, depth + 1)}`;
  }
  return `${text}}`;
}
