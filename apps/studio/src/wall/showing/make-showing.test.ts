import type { WindowPanel } from '../../platform/api/windows.js';
import { ageKey } from './ages.js';
import { countShaded, makeShowing } from './make-showing.js';
import { type ShowingOf, shows } from './showing.js';

const bare: WindowPanel = {
  panelId: 'p',
  ringMm: [],
  mark: '1a',
  workState: 'in-place',
  pieces: 0,
  findings: 0,
  signedRevision: null,
  netRevision: null,
  lastHappened: null,
  condition: null,
  terms: {},
  lastWork: null,
  doubts: null,
  glass: {},
  retired: false,
};
const said = (value: 0 | 1 | 2 | 3 | 'not-inspected' | 'not-accessible') => ({
  conditionClass: value,
  reason: 'seen',
  happened: '2026',
});
const of = (panels: readonly WindowPanel[], more: Partial<ShowingOf> = {}): ShowingOf => ({
  panels,
  profiles: [],
  leads: undefined,
  where: undefined,
  terms: [],
  termWords: (term) => term,
  operationWords: (key) => key,
  day: '2026-11-26',
  ...more,
});

describe.each(shows)('%s', (what) => {
  it('gives a panel of which nothing is said a shade of its key, and counts each once', () => {
    const showing = makeShowing(what, of([bare]));
    const keys = showing.shades.map(({ key }) => key);
    expect(keys).toContain(showing.ofPanel('w', bare));
    expect(new Set(keys).size).toBe(keys.length);
    const counts = countShaded(showing, new Map([['w', [bare, bare]]]));
    expect([...counts.values()]).toEqual([2]);
  });

  it('tells the shades of its key apart without colour', () => {
    const many = Array.from({ length: 9 }, (_, i) => ({
      ...bare,
      glass: { [`kind ${i}`]: 9 - i },
      lastWork: { operation: `work ${i}`, happened: '1998' },
    }));
    const showing = makeShowing(what, of(many, { terms: ['a', 'b', 'c', 'd', 'e', 'f'] }));
    // A photocopy keeps the lines of the tile and whether it is light or dark, not its hue.
    const seen = showing.shades.map(
      ({ hatch }) => `${hatch.d} ${hatch.dots === true} ${hatch.ground}`,
    );
    expect(new Set(seen).size).toBe(seen.length);
    const lines = showing.shades.map(({ hatch }) => `${hatch.d} ${hatch.pale === true}`);
    expect(new Set(lines).size).toBe(lines.length);
  });
});

describe('what nobody said', () => {
  const showing = makeShowing('condition', of([bare]));
  it.each([
    [said(0), '0 sound'],
    [said(3), '3 severe'],
    [said('not-inspected'), 'not inspected'],
    [said('not-accessible'), 'not accessible'],
    [null, 'no class given'],
  ])('is never class 0: %j is %s', (condition, words) => {
    const key = showing.ofPanel('w', { ...bare, condition });
    expect(showing.shades.find((shade) => shade.key === key)?.words).toBe(words);
  });
});

describe('terms', () => {
  const panel = { ...bare, findings: 7, terms: { crack: 2, loss: 5 } };
  it('are counted when one or none is chosen, and named when several are', () => {
    const any = makeShowing('terms', of([panel]));
    expect([any.ofPanel('w', panel), any.countOf?.(panel)]).toEqual(['many', 7]);
    const one = makeShowing('terms', of([panel], { terms: ['crack'] }));
    expect([one.ofPanel('w', panel), one.countOf?.(panel)]).toEqual(['few', 2]);
    const two = makeShowing('terms', of([panel], { terms: ['crack', 'crust'] }));
    expect(two.ofPanel('w', panel)).toBe('is crack');
    expect(two.ofPanel('w', bare)).toBe('none');
    const both = makeShowing('terms', of([panel], { terms: ['crack', 'loss'] }));
    expect(both.ofPanel('w', panel)).toBe('several');
  });
});

describe('the age of the last work', () => {
  it.each([
    ['2026-08', 'age 0'],
    ['2021-11', 'age 1'],
    ['198X', 'age 2'],
    ['1931~', 'age 2'],
    ['1870/1890', 'age 3'],
    ['18XX', 'age 3'],
    ['1958-06/1958-09', 'age 2'],
    [null, 'age ?'],
  ])('%s is %s in 2026', (happened, key) => {
    expect(ageKey(happened, '2026-11-26')).toBe(key);
  });
});
