import { heldLifts, keptLifts, nextPiece, told } from './lift-states.js';

const step = (entrySeq: number, pieces: object[]) => ({
  kind: 'lift' as const,
  entrySeq,
  detail: { pieces } as Record<string, unknown>,
});

it('takes the last word of each piece, whatever order the steps come in', () => {
  const kept = keptLifts([
    step(9, [
      { mark: '1', is: 'broken' },
      { mark: '3', is: 'back' },
    ]),
    step(4, [
      { mark: '1', is: 'lifted' },
      { mark: '3', is: 'lifted' },
    ]),
    { kind: 'dismantle', entrySeq: 10, detail: {} },
  ]);
  expect(kept).toEqual({ 1: { mark: '1', is: 'broken' } });
});

it('takes back what is tapped twice, and says so to the archive only where that knows of it', () => {
  const lifted = { mark: '2', is: 'lifted' as const };
  const draft = told({}, {}, lifted);
  expect(draft).toEqual({ 2: lifted });
  expect(told({}, draft, lifted)).toEqual({});
  expect(told({ 2: lifted }, {}, lifted)).toEqual({ 2: { mark: '2', is: 'back' } });
  expect(heldLifts({ 2: lifted }, { 2: { mark: '2', is: 'back' } })).toEqual({});
  expect(told({ 2: lifted }, {}, { mark: '2', is: 'broken' })).toEqual({
    2: { mark: '2', is: 'broken' },
  });
});

it('goes on by number, as the bench counts: 2, 10, 10a', () => {
  const pieces = ['10a', '10', '2'];
  const lifted = (mark: string) => ({ [mark]: { mark, is: 'lifted' as const } });
  expect(nextPiece(pieces, {})).toBe('2');
  expect(nextPiece(pieces, lifted('2'))).toBe('10');
  expect(nextPiece(pieces, { ...lifted('2'), ...lifted('10'), ...lifted('10a') })).toBeUndefined();
});
