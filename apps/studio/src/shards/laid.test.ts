/** Plane geometry by hand: what a turn, a flip and a shift do to one place. */
import { flipped, laidAt, middleOf, moved, nextShard, placed, turned } from './laid.js';

const square = [10, 20, 30, 20, 30, 40, 10, 40];
const near = (a: readonly number[], b: readonly number[]) => {
  a.forEach((value, i) => {
    expect(value).toBeCloseTo(b[i]!, 9);
  });
};

it('takes a shard out of the tray to a place', () => {
  const middle = middleOf(square);
  expect(middle).toEqual([20, 30]);
  const pose = laidAt(middle, [100, 50]);
  near(placed(pose, middle), [100, 50]);
  near(placed(moved(pose, 1, -2), middle), [101, 48]);
});

it('turns about a place and flips about the middle', () => {
  const middle = middleOf(square);
  const pose = laidAt(middle, [100, 50]);
  const quarter = turned(pose, [100, 50], Math.PI / 2);
  near(placed(quarter, middle), [100, 50]);
  // y points down, so a quarter turn takes right to below
  near(placed(quarter, [30, 30]), [100, 60]);
  near(placed(turned(pose, [0, 0], Math.PI), middle), [-100, -50]);
  const over = flipped(quarter, middle);
  near(placed(over, middle), [100, 50]);
  near(placed(over, [30, 30]), [100, 40]);
  near(placed(flipped(over, middle), [30, 30]), [100, 60]);
  let round = pose;
  for (let i = 0; i < 720; i++) round = turned(round, [100, 50], Math.PI / 180);
  expect(Math.abs(round.angleRad)).toBeLessThan(1e-6);
});

it('numbers the next shard after the highest', () => {
  expect(nextShard([])).toBe(1);
  expect(nextShard(['17s1', '17s12', '17s3'])).toBe(13);
});
