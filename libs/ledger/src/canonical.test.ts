import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { hexOf } from './bytes.js';
import { CanonicalError, canonicalBytes, canonicalText, parseCanonical } from './canonical.js';

// Source of the vectors: RFC 8785 and its author's public test data (Apache-2.0); the number strings
// are RFC 8785 appendix B. See fixtures/README.md.
const VECTORS = JSON.parse(
  readFileSync(new URL('../../../fixtures/standards/jcs-rfc8785.json', import.meta.url), 'utf8'),
) as {
  vectors: { name: string; input: string; canonicalHex: string; sha256: string }[];
  numbers: { ieeeHex: string; expected: string }[];
  numberSequenceSha256: Record<string, string>;
};

const PATTERNS = JSON.parse(
  readFileSync(
    new URL('../../../fixtures/standards/jcs-number-patterns.json', import.meta.url),
    'utf8',
  ),
) as { ieeeHex: string[] };

describe('canonicalBytes', () => {
  it.each(VECTORS.vectors)(
    'writes the published bytes of "$name"',
    ({ input, canonicalHex, sha256 }) => {
      const bytes = canonicalBytes(JSON.parse(input));
      expect(hexOf(bytes)).toBe(canonicalHex);
      expect(createHash('sha256').update(bytes).digest('hex')).toBe(sha256);
    },
  );

  it.each(VECTORS.numbers)('writes the double $ieeeHex as $expected', ({ ieeeHex, expected }) => {
    expect(canonicalText(Buffer.from(ieeeHex, 'hex').readDoubleBE())).toBe(expected);
  });

  it.each(Object.entries(VECTORS.numberSequenceSha256))(
    'gives the published digest of the first %s numbers of the test sequence',
    (count, digest) => {
      const hash = createHash('sha256');
      for (const bits of numberSequence(Number(count))) {
        const view = new DataView(new ArrayBuffer(8));
        view.setBigUint64(0, bits);
        hash.update(`${bits.toString(16)},${canonicalText(view.getFloat64(0))}\n`);
      }
      expect(hash.digest('hex')).toBe(digest);
    },
  );

  it.each([
    ['NaN', Number.NaN, 'number'],
    ['an infinity', { depth: [1, Number.POSITIVE_INFINITY] }, 'number'],
    ['half a surrogate pair', { note: 'a\ud800b' }, 'text'],
    ['half a surrogate pair in a key', { '\udc00': 1 }, 'text'],
    ['undefined', { note: undefined }, 'not-json'],
    ['a hole', [1, , 2], 'not-json'], // eslint-disable-line no-sparse-arrays
    ['a bigint', { size: 3n }, 'not-json'],
    ['a function', { size: () => 3 }, 'not-json'],
    ['a date', { at: new Date(0) }, 'not-json'],
    ['a map', new Map([['a', 1]]), 'not-json'],
  ])('refuses %s', (_name, value, fault) => {
    expect(thrownBy(() => canonicalBytes(value))).toMatchObject({ name: 'CanonicalError', fault });
  });

  it('names the member that it refuses', () => {
    expect(() => canonicalText({ payload: { ringMm: [0, Number.NaN] } })).toThrow(
      /^payload\.ringMm\[1\]: NaN/,
    );
  });

  it('refuses nesting that would exhaust a reader', () => {
    let value: unknown = 0;
    for (let i = 0; i < 5000; i++) value = [value];
    expect(thrownBy(() => canonicalText(value))).toMatchObject({ fault: 'too-deep' });
  });

  it('does not depend on the order in which members were set', () => {
    fc.assert(
      fc.property(fc.dictionary(fc.string({ unit: 'grapheme' }), fc.jsonValue()), (record) => {
        const reversed = Object.fromEntries(Object.entries(record).reverse());
        expect(canonicalText(reversed)).toBe(canonicalText(record));
      }),
    );
  });
});

describe('parseCanonical', () => {
  it('gives back what was written', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        // Through JSON first: minus zero becomes 0 there, as it does in the canonical form.
        const carried: unknown = JSON.parse(JSON.stringify(value));
        expect(parseCanonical(canonicalBytes(carried))).toEqual(carried);
      }),
    );
  });

  it('reads index-like keys in the order of their text', () => {
    expect(parseCanonical(new TextEncoder().encode('{"10":1,"2":1,"a":1}'))).toEqual({
      2: 1,
      10: 1,
      a: 1,
    });
  });

  it.each([
    ['white space', '{"a": 1}'],
    ['a final newline', '{"a":1}\n'],
    ['duplicate keys', '{"a":1,"a":1}'],
    ['keys out of order', '{"b":1,"a":1}'],
    ['keys out of order deep inside', '[{"a":[{"b":1,"a":1}]}]'],
    ['index-like keys in the order of their values', '{"2":1,"10":1}'],
    ['another number form', '{"a":1.0}'],
    ['an exponent that is not needed', '{"a":1e3}'],
    ['an escape that is not needed', '{"a":"\\u0041"}'],
    ['upper-case escapes', '{"a":"\\u001F"}'],
  ])('refuses %s', (_name, text) => {
    expect(thrownBy(() => parseCanonical(new TextEncoder().encode(text)))).toMatchObject({
      fault: 'not-canonical',
    });
  });

  it.each([
    ['a byte order mark', Uint8Array.of(0xef, 0xbb, 0xbf, 0x31)],
    ['bytes that are not UTF-8', Uint8Array.of(0x22, 0xff, 0x22)],
    ['a cut value', new TextEncoder().encode('{"a":')],
    ['nothing', new Uint8Array(0)],
    ['half a surrogate pair', new TextEncoder().encode('"\\ud800"')],
  ])('refuses %s', (_name, bytes) => {
    expect(() => parseCanonical(bytes)).toThrow(CanonicalError);
  });
});

/** IEEE 754 bit patterns of the published test sequence; the rule is stated in its fixture. */
function* numberSequence(count: number): Generator<bigint> {
  let given = 0;
  for (const hex of PATTERNS.ieeeHex) {
    if (given++ >= count) return;
    yield BigInt(`0x${hex}`);
  }
  for (let i = 0n; i < 2000n && given < count; i++, given++) yield 0x0010000000000000n + i;
  let block = Buffer.alloc(32);
  while (given < count) {
    block = createHash('sha256').update(block).digest();
    for (let at = 0; at < 32 && given < count; at += 8) {
      const bits = block.readBigUInt64LE(at);
      const view = new DataView(new ArrayBuffer(8));
      view.setBigUint64(0, bits);
      const value = view.getFloat64(0);
      if (value === 0 || !Number.isFinite(value)) continue;
      given++;
      yield bits;
    }
  }
}

function thrownBy(run: () => unknown): unknown {
  try {
    run();
  } catch (error) {
    return error;
  }
  return undefined;
}
