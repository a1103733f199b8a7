/** Steps of the search over powers of ten: the cost has one low in each stretch of two. */
const COARSE = 2;
const FINE = 0.15;

/** Where a function of one number is least: a coarse look, then the golden section. */
export function leastAt(cost: (at: number) => number, from: number, to: number): number {
  let best = from;
  let least = Number.POSITIVE_INFINITY;
  for (let at = from; at <= to; at += COARSE) {
    const here = cost(at);
    if (here < least) [best, least] = [at, here];
  }
  const golden = (Math.sqrt(5) - 1) / 2;
  let [low, high] = [best - COARSE, best + COARSE];
  let [left, right] = [high - golden * (high - low), low + golden * (high - low)];
  let [atLeft, atRight] = [cost(left), cost(right)];
  while (high - low > FINE) {
    if (atLeft < atRight) {
      [high, right, atRight] = [right, left, atLeft];
      left = high - golden * (high - low);
      atLeft = cost(left);
    } else {
      [low, left, atLeft] = [left, right, atRight];
      right = low + golden * (high - low);
      atRight = cost(right);
    }
  }
  return (low + high) / 2;
}
