import { edtfSpan } from './edtf-span.js';

/** Forms as ISO 8601-2 / the EDTF specification of the Library of Congress writes them. */
describe('edtfSpan', () => {
  it.each<[string, number, number]>([
    ['1998', 1998, 1999],
    ['1931~', 1931, 1932],
    ['19XX', 1900, 2000],
    ['156X', 1560, 1570],
    ['2004-06', 2004 + 5 / 12, 2004.5],
    ['2004-06/2006-08', 2004 + 5 / 12, 2006 + 8 / 12],
    ['1984/..', 1984, 1985],
  ])('%s', (text, from, to) => {
    const span = edtfSpan(text);
    expect(span?.from).toBeCloseTo(from, 6);
    expect(span?.to).toBeCloseTo(to, 6);
  });

  it('puts a day within its month', () => {
    const day = edtfSpan('2026-03-04')!;
    const month = edtfSpan('2026-03')!;
    expect(day.from).toBeGreaterThanOrEqual(month.from);
    expect(day.to).toBeLessThanOrEqual(month.to);
  });

  it.each(['', 'about 1900', '2026-13', '1999/1990', '1/2/3'])('refuses to guess: %s', (text) => {
    expect(edtfSpan(text)).toBeUndefined();
  });
});
