import fc from 'fast-check';
import { plainJson } from './plain-json.js';

/** What the platform itself makes of it (ECMA-262, JSON.stringify and JSON.parse). */
function byPlatform(value: unknown): unknown {
  const text = JSON.stringify(value) as string | undefined;
  return text === undefined ? undefined : JSON.parse(text);
}

describe('plainJson', () => {
  it('gives what the platform writes and reads', () => {
    const odd = fc.oneof(
      fc.constant(undefined),
      fc.constant(-0),
      fc.constant(Number.NaN),
      fc.constant(Number.NEGATIVE_INFINITY),
      fc.date({ noInvalidDate: true }),
      fc.constant(() => 1),
      fc.constant(new Map([[1, 2]])),
      fc.constant({ toJSON: () => ({ as: 'said' }) }),
    );
    const { value } = fc.letrec((tie) => ({
      value: fc.oneof(
        { maxDepth: 4 },
        fc.jsonValue(),
        odd,
        fc.array(tie('value')),
        fc.dictionary(fc.oneof(fc.string(), fc.constant('__proto__')), tie('value')),
      ),
    }));
    fc.assert(
      fc.property(value, (one) => {
        expect(plainJson(one)).toEqual(byPlatform(one));
        expect(JSON.stringify(plainJson(one))).toBe(JSON.stringify(byPlatform(one)));
      }),
      { numRuns: 1000 },
    );
  });

  it('leaves out what it is told to, at any depth', () => {
    const said = { login: 'a', password: 'b', inner: [{ password: 'c', note: 'd' }] };
    expect(plainJson(said, ['password'])).toEqual({ login: 'a', inner: [{ note: 'd' }] });
  });
});
