/** The small numerics of the scorer, with the conventions of the reference scorer (numpy's). */
export type Xy = [number, number];

/** Python's round: halves go to the even neighbour. */
export function roundHalfEven(v: number): number {
  const floor = Math.floor(v);
  if (v - floor !== 0.5) return Math.round(v);
  return floor % 2 === 0 ? floor : floor + 1;
}

/** Linear between order statistics. @returns undefined for no values. */
export function percentile(values: readonly number[], percent: number): number | undefined {
  if (values.length === 0) return undefined;
  const sorted = Float64Array.from(values).sort();
  const at = ((sorted.length - 1) * percent) / 100;
  const low = Math.floor(at);
  const high = Math.min(sorted.length - 1, low + 1);
  return sorted[low]! + (sorted[high]! - sorted[low]!) * (at - low);
}

export function mean(values: readonly number[]): number | undefined {
  if (values.length === 0) return undefined;
  return values.reduce((a, b) => a + b, 0) / values.length;
}

export function lineLength(line: readonly Xy[]): number {
  let sum = 0;
  for (let i = 1; i < line.length; i++) {
    sum += Math.hypot(line[i]![0] - line[i - 1]![0], line[i]![1] - line[i - 1]![1]);
  }
  return sum;
}

/** Points at equal arc distances near step, both ends kept; a line without length gives one point. */
export function resample(line: readonly Xy[], step: number): Xy[] {
  const arc = [0];
  for (let i = 1; i < line.length; i++) {
    arc.push(
      arc[i - 1]! + Math.hypot(line[i]![0] - line[i - 1]![0], line[i]![1] - line[i - 1]![1]),
    );
  }
  const total = arc.at(-1)!;
  if (total < 1e-9) return line.slice(0, 1);
  const n = Math.max(1, roundHalfEven(total / step));
  const out: Xy[] = [];
  let i = 1;
  for (let k = 0; k <= n; k++) {
    const s = (total * k) / n;
    while (i < arc.length - 1 && arc[i]! < s) i++;
    const span = arc[i]! - arc[i - 1]!;
    const t = span > 0 ? Math.min(1, Math.max(0, (s - arc[i - 1]!) / span)) : 0;
    const a = line[i - 1]!;
    const b = line[i]!;
    out.push([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]);
  }
  return out;
}
