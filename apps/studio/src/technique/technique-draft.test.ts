import {
  bodyOf,
  draftOf,
  EMPTY_LAYER,
  placeOfGlass,
  withGlass,
  withoutLayer,
} from './technique-draft.js';

const SAID = {
  held: { by: 'copper-foil', foilWidthMm: 5.5 },
  layers: [
    {
      is: 'glass' as const,
      glass: 'drapery',
      colour: 'ruby',
      gauged: [{ xyMm: [10, 20], thicknessMm: 6.5 }],
      worked: [],
      painted: [{ how: 'vitreous-paint', face: 'inside' as const, coats: 2 }],
    },
    { is: 'interlayer' as const, material: 'silicone', thicknessMm: 0.5 },
    {
      is: 'glass' as const,
      glass: 'flashed',
      thicknessMm: 2,
      densityGCm3: 2.6,
      flash: { face: 'outside' as const, colour: 'blue' },
      worked: [{ how: 'etched', face: 'outside' as const, depthMm: 0.3, note: 'a star' }],
      painted: [],
    },
  ],
  generations: [
    {
      mark: '17r2',
      reason: 'shattered',
      happened: '1925~',
      byRole: 'glazier',
      original: { fate: 'lost', note: 'swept up' },
    },
  ],
  note: 'seen at the bench',
};

it('gives back what was said when nothing was changed', () => {
  expect(bodyOf(draftOf(SAID as never), '2026-11-26')).toEqual({ ...SAID, happened: '2026-11-26' });
});

it('leaves out a flash of what is not flashed any more, and the width of what is no foil', () => {
  const draft = draftOf(SAID as never);
  const layers = draft.layers.map((layer) => ({ ...layer, glass: 'clear' }));
  const body = bodyOf({ ...draft, held: 'came-u', layers }, '2026');
  expect(body.held).toEqual({ by: 'came-u' });
  expect(body.layers?.[2]).not.toHaveProperty('flash');
});

it.each([
  ['a thickness that is none', { layers: [{ ...EMPTY_LAYER, thickness: 'thick' }] }],
  ['an interlayer of nothing', { layers: [{ ...EMPTY_LAYER, is: 'interlayer' as const }] }],
  [
    'paint of no kind',
    {
      layers: [
        { ...EMPTY_LAYER, painted: [{ how: '', face: 'inside' as const, what: '', note: '' }] },
      ],
    },
  ],
  [
    'a glass before that went nowhere',
    {
      generations: [{ mark: '', reason: 'lost', happened: '', byRole: '', fate: '', fateNote: '' }],
    },
  ],
])('refuses %s with a sentence', (_what, over) => {
  expect(() => bodyOf({ ...draftOf(undefined), ...over }, '2026')).toThrow(/\.$/);
});

it('names the places of glasses, and drops what lies between nothing', () => {
  const layers = withGlass(withGlass(withGlass([], true), true), false);
  expect(layers.map(({ is }) => is)).toEqual(['glass', 'interlayer', 'glass', 'glass']);
  expect(layers.map((_, i) => placeOfGlass(layers, i))).toEqual(['front', null, 'middle', 'back']);
  expect(withoutLayer(layers, 0).map(({ is }) => is)).toEqual(['glass', 'glass']);
});
