import { stagesOf } from './stages-of.js';

const pictures = (...stages: ('before' | 'during' | 'after' | 'undated')[]) =>
  stages.map((stage) => ({ stage }));

it('counts pictures by stage, in the order of the work', () => {
  const some = pictures('after', 'undated', 'before', 'before', 'after', 'before');
  expect(stagesOf(some)).toEqual([
    ['before', 3],
    ['after', 2],
    ['undated', 1],
  ]);
});

it('asks nothing where there is nothing to choose', () => {
  expect(stagesOf([])).toEqual([]);
  expect(stagesOf(pictures('before', 'during', 'after', 'before'))).toEqual([]);
  expect(stagesOf(pictures('before', 'before', 'before', 'before', 'before'))).toEqual([]);
});
