/** RFC 4180 section 2, rules 5 to 7: its own examples; the formula's guard is OWASP's, from memory. */
import { csvLine } from './index.js';

it.each([
  // rule 5
  [['aaa', 'bbb', 'ccc'], 'aaa,bbb,ccc\r\n'],
  // rule 6: line breaks and commas
  [['aaa', 'b\r\nbb', 'ccc'], 'aaa,"b\r\nbb",ccc\r\n'],
  [['a,b'], '"a,b"\r\n'],
  // rule 7: a quote is doubled
  [['aaa', 'b"bb', 'ccc'], 'aaa,"b""bb",ccc\r\n'],
  [['', null, 0], ',,0\r\n'],
  [[], '\r\n'],
])('writes %j as a record', (cells, line) => {
  expect(csvLine(cells)).toBe(line);
});

it.each(['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', '\r=1'])('makes no formula of %j', (text) => {
  expect(csvLine([text])).toMatch(/^"?'/);
});

it('leaves a number below nought a number', () => {
  expect(csvLine([-1.5])).toBe('-1.5\r\n');
});
