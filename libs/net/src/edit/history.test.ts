import { beginHistory, did, type History, mapHistory, shortHistory, undo } from './history.js';

const after = (acts: number): History<{ n: number }> => {
  let history = beginHistory({ n: 0 });
  for (let n = 1; n <= acts; n++) history = did(history, `act ${n}`, { n });
  return history;
};
const undone = <T>(history: History<T>): T => {
  let last = history;
  while (last.past.length > 0) last = undo(last);
  return last.present;
};

describe('a history that is cut short', () => {
  it('leads back to the very beginning, the oldest acts as one', () => {
    const short = shortHistory(after(30), 10);
    expect(short.past).toHaveLength(10);
    expect(short.past.slice(0, 2).map(({ name }) => name)).toEqual(['everything before', 'act 22']);
    expect(undone(short)).toEqual({ n: 0 });
  });

  it('does so by itself when it grows long', () => {
    expect(undone(after(1200))).toEqual({ n: 0 });
    expect(after(1200).past.length).toBeLessThanOrEqual(500);
  });
});

it('a history made another keeps its acts, and a state that two steps share stays one', () => {
  const history = undo(undo(after(3)));
  let made = 0;
  const other = mapHistory(history, ({ n }) => {
    made++;
    return { twice: 2 * n };
  });
  expect(made).toBe(4);
  expect([other.past, other.present, other.future].flat()).toEqual([
    { name: 'act 1', state: { twice: 0 } },
    { twice: 2 },
    { name: 'act 3', state: { twice: 6 } },
    { name: 'act 2', state: { twice: 4 } },
  ]);
});
