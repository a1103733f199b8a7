import { inTwoLines } from './in-two-lines.js';

describe('a name under its windows', () => {
  it.each([
    ['SLM Sallowmere Chapel', 'SLM Sallowmere Chapel'],
    ['SLM Sallowmere Chapel of the Ferry', 'SLM Sallowmere\nChapel of the Ferry'],
    ['Thirtylettersandmorewithoutaspace', 'Thirtylettersandmorewithoutaspace'],
  ])('%s', (name, lines) => {
    expect(inTwoLines(name)).toBe(lines);
  });
});
