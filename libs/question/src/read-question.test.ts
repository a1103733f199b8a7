import { readQuestion } from './read-question.js';

const read = (text: string) => {
  const { filters, words } = readQuestion(text);
  return {
    ...Object.fromEntries(filters.map(({ name, values }) => [name, values.join(' ')])),
    ...(words === '' ? {} : { q: words }),
  };
};

describe('a question', () => {
  // The first three are those that the search was made for.
  it.each([
    ['epoxy on sII before 2000', { q: 'epoxy', mark: 'sII', to: '1999' }],
    [
      'who repainted faces?',
      { operation: 'repaint.plate repaint.cold repaint.original', shows: 'face' },
    ],
    ['all pieces with two generations', { kind: 'piece', generations: '2' }],
    ['all plated pieces', { kind: 'piece', technique: 'plated' }],
    ['who plated the pieces of sII', { kind: 'piece', operation: 'plate', mark: 'sII' }],
    ['flashed glass on wI', { mark: 'wI', technique: 'flashed' }],
    ['c. 1925', { from: '1925~', to: '1925~' }],
    [
      'releaded since 1950 by the glazier',
      { operation: 'relead.part relead.whole', from: '1950', role: 'glazier' },
    ],
    ['work between 1870 and 1890', { kind: 'intervention', from: '1870', to: '1890' }],
    ['1920s', { from: '192X', to: '192X' }],
    ['19th century', { from: '18XX', to: '18XX' }],
    ['SLM.wI.2b.17r2', { mark: 'SLM.wI.2b.17r2' }],
    ['s2.3b', { mark: 'sII.3b' }],
    ['silver stain', { operation: 'stain' }],
    ['I will be back in 5 days', { q: 'I will be back 5 days' }],
    ['Varrowby', { q: 'Varrowby' }],
    ['', {}],
  ])('%s', (text, wanted) => {
    expect(read(text)).toEqual(wanted);
  });

  it('tells the words that each filter was read from', () => {
    const { filters } = readQuestion('epoxy on sII before 2000');
    expect(filters.map(({ heard }) => heard)).toEqual(['before 2000', 'sII']);
  });
});
