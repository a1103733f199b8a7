import { firstSpoken, readManner } from './language/manner.js';
import { numberGiven, readNumber } from './NumberField.js';

describe('the manner of a browser', () => {
  it.each([
    [['de-AT', 'en'], 'de'],
    [['fr-FR', 'de-DE', 'en'], 'de'],
    [['en-GB', 'de'], 'en'],
    [['fr'], 'en'],
    [[], 'en'],
  ] as const)('speaks to %j in %s', (wanted, language) => {
    expect(firstSpoken(wanted)).toBe(language);
  });

  it('is what was chosen, part by part', () => {
    const kept = '{"language":"de","lengths":"inch","days":"yesterday","ground":"light-table"}';
    expect(readManner(kept, ['en'])).toEqual({
      language: 'de',
      days: 'local',
      lengths: 'inch',
      ground: 'light-table',
    });
  });

  it.each(['', 'null', '[1]', '{"language":"xx"}', '{'])('takes %j as not chosen', (kept) => {
    expect(readManner(kept, ['en'])).toEqual({
      language: 'en',
      days: 'local',
      lengths: 'mm',
      ground: 'device',
    });
  });
});

// One inch is 25.4 mm exactly (international yard and pound agreement of 1959; NIST SP 811, B.8).
describe('a typed length', () => {
  it.each([
    ['68,5', 68.5],
    ['68.5 mm', 68.5],
    ['1 in', 25.4],
    ['29 1/4"', 742.95],
    ['1/16 in', 1.588],
    ['2,5″', 63.5],
  ])('%s is %s mm', (text, valueMm) => {
    expect(readNumber(text)).toBeCloseTo(valueMm, 3);
  });
  it.each(['"', '1/0 in', 'two in', ''])('%j is none', (text) => {
    expect(readNumber(text)).toBeUndefined();
  });
});

describe('a number that may be left out', () => {
  it('is nothing when nothing was typed', () => {
    expect(numberGiven('  ')).toBeUndefined();
    expect(numberGiven('12,5')).toBe(12.5);
  });
  it('is refused when what was typed is none', () => {
    expect(() => numberGiven('about 12')).toThrow('“about 12” is no number.');
  });
});
