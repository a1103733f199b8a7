import { askedOf, withFilter, withoutFilter, withQuestion } from './asked.js';

const asked = (words: URLSearchParams) => askedOf(words);

it('keeps what was chosen before beside what is typed', () => {
  const words = withQuestion(
    new URLSearchParams('site=x&view=drawing&after=y'),
    'epoxy on sII before 2000',
  );
  expect(asked(words)).toEqual({ q: 'epoxy', site: 'x', mark: 'sII', to: '1999' });
  expect(words.get('view')).toBe('drawing');
});

it('takes a date’s way of reading away with the last of its days', () => {
  const words = new URLSearchParams('from=1900&to=1950&dates=certainly');
  expect(asked(withoutFilter(words, 'from'))).toEqual({ to: '1950', dates: 'certainly' });
  expect(asked(withoutFilter(withoutFilter(words, 'from'), 'to'))).toEqual({});
});

it('adds marks and replaces kinds', () => {
  const words = withFilter(
    withFilter(new URLSearchParams('mark=wI&kind=piece'), 'mark', 'sII'),
    'kind',
    'finding',
  );
  expect(asked(words)).toEqual({ mark: ['wI', 'sII'], kind: 'finding' });
});
