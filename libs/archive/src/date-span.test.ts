import { spanAsRecorded, spanOf } from './date-span.js';
import { daysOf } from './happened.js';

describe('EDTF, levels 0 and 1', () => {
  // Forms of the Library of Congress's EDTF specification (2019), levels 0 and 1, from memory; the days
  // follow from the Gregorian calendar, a season from the northern reading of the edtf package.
  it.each([
    ['1985-04-12', '1985-04-12', '1985-04-12'],
    ['1985-04', '1985-04-01', '1985-04-30'],
    ['1985', '1985-01-01', '1985-12-31'],
    ['1964/2008', '1964-01-01', '2008-12-31'],
    ['2004-06/2006-08', '2004-06-01', '2006-08-31'],
    ['2004-02-01/2005-02-08', '2004-02-01', '2005-02-08'],
    ['2004-02-01/2005', '2004-02-01', '2005-12-31'],
    ['1984?', '1984-01-01', '1984-12-31'],
    ['2004-06~', '2004-06-01', '2004-06-30'],
    ['2004-06-11%', '2004-06-11', '2004-06-11'],
    ['201X', '2010-01-01', '2019-12-31'],
    ['20XX', '2000-01-01', '2099-12-31'],
    ['2004-XX', '2004-01-01', '2004-12-31'],
    ['1985-04-XX', '1985-04-01', '1985-04-30'],
    ['1985-04-12/..', '1985-04-12', null],
    ['../1985', null, '1985-12-31'],
    ['1985/', '1985-01-01', null],
    ['/1985-04-12', null, '1985-04-12'],
  ])('%s lies between its first and last day', (text, first, last) => {
    expect(daysOf(text)).toEqual({ first, last });
  });

  it.each(['1985-13', '12/04/1985', 'c. 1925', '1985-02-30', ''])('%j is refused', (text) => {
    expect(() => daysOf(text)).toThrow('no EDTF date');
  });
});

describe('how wide a date is searched', () => {
  it.each([
    ['1931', '1931-01-01', '1931-12-31', true],
    ['1931~', '1926-01-01', '1936-12-31', true],
    ['1931?', '1931-01-01', '1931-12-31', false],
    ['1931%', '1926-01-01', '1936-12-31', false],
    ['1931-03~', '1930-03-01', '1932-03-31', true],
    ['1931-03-31~', '1931-02-28', '1931-04-30', true],
    ['1870~/1890', '1865-01-01', '1890-12-31', true],
  ])('%s', (text, first, last, isSure) => {
    expect(spanOf(text)).toEqual({ first, last, isSure });
  });

  it('ends with the day on which it was recorded', () => {
    const at = new Date('2026-11-26T05:00:00Z');
    expect(spanAsRecorded('2024~', at)).toEqual({
      first: '2019-01-01',
      last: '2026-11-26',
      isSure: true,
    });
    expect(spanAsRecorded(null, at)).toEqual({
      first: '2026-11-26',
      last: '2026-11-26',
      isSure: true,
    });
  });
});
