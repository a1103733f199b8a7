import type { Happening } from '../../platform/api/windows.js';
import { dayNumber, readDay, sayDay, yearsOn } from './days.js';
import { justBefore, perhapsBy, stepStop, stops, stripMarks } from './strip-marks.js';
import { stripScale, stripYears } from './strip-scale.js';

const happening = (first: string, last: string, more: Partial<Happening> = {}): Happening => ({
  kind: 'work',
  label: 'cleaned',
  happened: last,
  first,
  last,
  count: 1,
  marks: [],
  ...more,
});
const today = dayNumber('2026-11-26');
const flood = happening('1890-01-01', '1899-12-31');
const iron = happening('1958-06-01', '1958-09-30');
const survey = happening('2019-05-01', '2019-05-31', { kind: 'survey', count: 112 });

describe('days', () => {
  // 1 January 2000 is day 10 957 of Unix time (IEEE Std 1003.1, seconds since the epoch: 946 684 800 s).
  it('are counted from 1970', () => {
    expect(dayNumber('2000-01-01')).toBe(10_957);
    expect(sayDay(10_957)).toBe('1 Jan 2000');
    expect(yearsOn(dayNumber('2020-06-01'), -1)).toBe(dayNumber('2019-06-01'));
  });

  it.each(['', '2019', '2019-02', 'today', '2019-13-40'])('are not read from %j', (text) => {
    expect(readDay(text)).toBeNull();
  });
});

describe('the scale of the strip', () => {
  const scale = stripScale(dayNumber('1890-01-01'), today);
  it('runs from the oldest day to today and gives every day back', () => {
    expect(scale.placeOf(today)).toBeCloseTo(1, 9);
    expect(scale.placeOf(dayNumber('1890-01-01'))).toBeCloseTo(0, 9);
    for (const text of ['1893-04-01', '1958-06-01', '2019-05-14', '2026-11-20'])
      expect(scale.dayAt(scale.placeOf(dayNumber(text)))).toBe(dayNumber(text));
  });

  it('writes years that stand apart', () => {
    const years = stripYears(scale, 0.07);
    expect(years.length).toBeGreaterThan(4);
    for (let i = 1; i < years.length; i++) {
      expect(years[i]!.at - years[i - 1]!.at).toBeGreaterThanOrEqual(0.07 - 1e-9);
      expect(years[i]!.year).toBeGreaterThan(years[i - 1]!.year);
    }
  });
});

describe('marks', () => {
  const scale = stripScale(dayNumber('1890-01-01'), today);
  it('show an uncertain date as a span, each kind in its lane', () => {
    const marks = stripMarks([flood, survey], scale, 0.001);
    expect(marks.map(({ lane, isSpan, count }) => [lane, isSpan, count])).toEqual([
      ['survey', true, 112],
      ['work', true, 1],
    ]);
    expect(marks[1]).toMatchObject({ from: 0 });
  });

  it('become one where they crowd, and lose nothing', () => {
    const days = Array.from({ length: 40 }, (_, i) => {
      const day = `2026-10-${String((i % 28) + 1).padStart(2, '0')}`;
      return happening(day, day);
    });
    const marks = stripMarks(days, scale, 0.02);
    expect(marks.length).toBeLessThan(12);
    expect(marks.reduce((sum, { count }) => sum + count, 0)).toBe(40);
  });
});

describe('stepping', () => {
  const all = stops([survey, flood, iron], today);
  it('stops where something had just happened', () => {
    expect(all).toEqual(['1899-12-31', '1958-09-30', '2019-05-31'].map(dayNumber));
    expect(stepStop(all, today, -1, today)).toBe(dayNumber('2019-05-31'));
    expect(stepStop(all, dayNumber('1958-09-30'), 1, today)).toBe(dayNumber('2019-05-31'));
    expect(stepStop(all, dayNumber('2019-05-31'), 1, today)).toBe(today);
    expect(stepStop(all, dayNumber('1899-12-31'), -1, today)).toBe(dayNumber('1899-12-31'));
  });

  it('tells what had happened last, and what may have', () => {
    const list = [survey, flood, iron];
    expect(justBefore(list, dayNumber('1958-09-30'))).toEqual([iron]);
    expect(justBefore(list, dayNumber('1880-01-01'))).toEqual([]);
    expect(perhapsBy(list, dayNumber('1958-07-01'))).toEqual([iron]);
    expect(perhapsBy(list, today)).toEqual([]);
  });
});
