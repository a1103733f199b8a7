/** Chance with a seed, so that a trial can be run again. */
export interface Chance {
  /** 0 ≤ x < 1 */
  next(): number;
  /** whole number, both ends included */
  whole(from: number, to: number): number;
  pick<T>(of: readonly T[]): T;
  bytes(count: number): Buffer;
}

/** Mulberry32 (Tommy Ettinger, public domain). */
export function chance(seed: number): Chance {
  let state = seed >>> 0;
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = state;
    mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
  const whole = (from: number, to: number) => from + Math.floor(next() * (to - from + 1));
  return {
    next,
    whole,
    pick: (of) => of[whole(0, of.length - 1)]!,
    bytes: (count) => Buffer.from(Array.from({ length: count }, () => whole(0, 255))),
  };
}

/** One of several, each as often as its share says. @param draw 0 ≤ draw < 1 */
export function pickByShare<T>(of: readonly T[], shareOf: (one: T) => number, draw: number): T {
  let left = draw * of.reduce((sum, one) => sum + shareOf(one), 0);
  for (const one of of) {
    left -= shareOf(one);
    if (left < 0) return one;
  }
  return of[0]!;
}
