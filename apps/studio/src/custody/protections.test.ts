import { openingState, protectionsOf } from './protections.js';

const said = (by: string, marks: string[], happened: string) => ({
  marks: marks.map((mark) => `SLM.wI.${mark}`),
  detail: { by },
  happened,
});

it('takes the last statement about each opening', () => {
  const found = protectionsOf([
    said('none', ['1a'], '2026-05'),
    said('boarding', ['1a', '1b'], '2026-04'),
  ]);
  expect(found.get('1a')).toMatchObject({ by: 'none', happened: '2026-05' });
  expect(found.get('1b')).toMatchObject({ by: 'boarding' });
});

it.each([
  ['in-place', undefined, 'glazed'],
  ['out', undefined, 'open'],
  ['on-bench', 'none', 'open'],
  ['on-bench', 'boarding', 'closed'],
  ['in-place', 'boarding', 'glazed'],
])('a panel that is %s with %s leaves its opening %s', (workState, by, state) => {
  const [protection] =
    by === undefined ? [undefined] : [...protectionsOf([said(by, ['1a'], '2026')]).values()];
  expect(openingState(workState, protection)).toBe(state);
});
