import { timeMarks } from './time-marks.js';

const at = (happened: string, words = 'cleaned') => ({ happened, words });

describe('timeMarks', () => {
  it('puts the younger nearer to the head', () => {
    const marks = timeMarks([at('1931'), at('2026-03'), at('1998')], 2026.9, 0.03);
    expect(marks.map((mark) => mark.until)).toEqual(['2026-03', '1998', '1931']);
    expect(marks.map((mark) => mark.at)).toEqual([...marks.map((mark) => mark.at)].sort());
    expect(marks.at(-1)?.at).toBeCloseTo(1, 6);
  });

  it('makes one mark of what would collide, and says how many', () => {
    const marks = timeMarks(
      [at('2026-03-01'), at('2026-03-02', 'bonded'), at('1931')],
      2026.9,
      0.05,
    );
    expect(marks).toHaveLength(2);
    expect(marks[0]).toMatchObject({ count: 2, words: '2 records 2026' });
  });

  it('leaves at least the gap between two marks', () => {
    const many = Array.from({ length: 60 }, (_, index) => at(String(1900 + index * 2)));
    const marks = timeMarks(many, 2026.9, 0.04);
    for (let i = 1; i < marks.length; i++)
      expect(marks[i]!.at - marks[i - 1]!.at).toBeGreaterThanOrEqual(0.04 - 1e-9);
    expect(marks.reduce((sum, mark) => sum + mark.count, 0)).toBe(60);
  });

  it('leaves out what has no date that can be read', () => {
    expect(timeMarks([at('some day')], 2026, 0.05)).toEqual([]);
  });
});
