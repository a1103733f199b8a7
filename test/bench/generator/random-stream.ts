/** A small repeatable random source (sfc32, C. Doty-Humphrey; from memory): same key, same numbers. */

const { cos, floor, sqrt } = Math;

export interface RandomStream {
  /** Uniform in [0, 1). */
  unit(): number;
  /** Uniform in [low, high). */
  between(low: number, high: number): number;
  /** Whole number in [low, high], both included. */
  whole(low: number, high: number): number;
  /** Normal, mean 0, standard deviation 1. */
  normal(): number;
  /** True with the given probability. */
  chance(probability: number): boolean;
  pick<T>(items: readonly T[]): T;
  /** An independent stream named by a text, so that one part can change without moving another. */
  branch(name: string): RandomStream;
}

function textHash(text: string): number {
  let h = 2166136261; // FNV-1a offset basis
  for (let i = 0; i < text.length; i++) h = Math.imul(h ^ text.charCodeAt(i), 16777619);
  return h >>> 0;
}

export function randomStream(key: string): RandomStream {
  let a = textHash(key);
  let b = textHash(`${key}:b`);
  let c = textHash(`${key}:c`);
  let d = 1;
  const unit = (): number => {
    const t = (a + b + d) | 0;
    d = (d + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = ((c << 21) | (c >>> 11)) + t;
    return (t >>> 0) / 4294967296;
  };
  for (let i = 0; i < 15; i++) unit();
  return {
    unit,
    between: (low, high) => low + (high - low) * unit(),
    whole: (low, high) => low + floor(unit() * (high - low + 1)),
    normal: () => sqrt(-2 * Math.log(1 - unit())) * cos(2 * Math.PI * unit()),
    chance: (probability) => unit() < probability,
    pick: (items) => {
      const item = items[floor(unit() * items.length)];
      if (item === undefined) throw new Error('pick needs at least one item');
      return item;
    },
    branch: (name) => randomStream(`${key}/${name}`),
  };
}
