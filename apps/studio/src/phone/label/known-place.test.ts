/** Codes as `apps/server/src/labels` prints them: a mark, an address that ends in it, a crate and what lies in it. */
import { Ambiguous, marksOnLabel, placeOfMark, placeTyped } from './known-place.js';

const windowOf = (site: string, mark: string, panels: readonly string[]) => ({
  mark,
  title: mark,
  panels: panels.map((panel) => `${site}.${mark}.${panel}`),
});
const sites = [
  {
    siteId: 's1',
    mark: 'SLM',
    name: 'Sallowmere Chapel',
    windows: [windowOf('SLM', 'wI', ['2b', '12b']), windowOf('SLM', 'sII', ['2a', '12b'])],
  },
  {
    siteId: 's2',
    mark: 'SLM:CH',
    name: 'Chapel house',
    windows: [windowOf('SLM:CH', 'nI', ['1a'])],
  },
];

it.each([
  ['SLM.wI.2b', ['SLM.wI.2b']],
  ['https://archive.example:4173/at/SLM%3ACH.nI.1a.17', ['SLM:CH.nI.1a.17']],
  ['http://127.0.0.1:4173/at/SLM.wI.2b?panel=2b', ['SLM.wI.2b']],
  ['crate 3: SLM.wI.2b SLM.wI.12b', ['SLM.wI.2b', 'SLM.wI.12b']],
  ['https://example.org/elsewhere', ['https://example.org/elsewhere']],
  ['words on some other label', []],
])('reads %s', (code, marks) => {
  expect(marksOnLabel(code)).toEqual(marks);
});

it('finds the panel of a mark, and the piece in it', () => {
  expect(placeOfMark(sites, 'SLM.wI.12b.17')).toMatchObject({ panel: 'SLM.wI.12b', piece: '17' });
  expect(placeOfMark(sites, 'SLM:CH.nI.1a')).toMatchObject({ panel: 'SLM:CH.nI.1a', piece: '' });
  expect(placeOfMark(sites, 'SLM.wI.12')).toBeUndefined();
});

it('takes what a hand types short, and asks where it fits two panels', () => {
  expect(placeTyped(sites, ' wI.12b ')?.panel).toBe('SLM.wI.12b');
  expect(placeTyped(sites, '2a')?.panel).toBe('SLM.sII.2a');
  expect(placeTyped(sites, '2b.4')).toMatchObject({ panel: 'SLM.wI.2b', piece: '4' });
  expect(placeTyped(sites, '99z')).toBeUndefined();
  expect(() => placeTyped(sites, '12b')).toThrow(Ambiguous);
});
