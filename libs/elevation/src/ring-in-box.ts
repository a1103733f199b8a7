/**
 * What of a ring lies in an upright box: cut by each of its four sides in turn.
 *
 * A wall shows hundreds of panels cut out of their lights; this asks for no library of polygons there.
 */
import { type BoundsMm, ringAreaMm2, type XyMm } from '#libs/net';

type Ring = readonly XyMm[];

/** Slivers below are rounding, mm². */
const NOTHING_MM2 = 1e-6;

/**
 * @param ring simple, in either direction; the answer's rings go round the same way
 * @returns none, one, or several where the ring leaves the box and comes back
 */
export function ringInBox(ring: Ring, { minX, minY, maxX, maxY }: BoundsMm): XyMm[][] {
  const sides = [
    [0, minX, 1],
    [0, maxX, -1],
    [1, minY, 1],
    [1, maxY, -1],
  ] as const;
  const rings = sides.reduce<Ring[]>(
    (left, [axis, at, sign]) => left.flatMap((one) => ringBeyond(one, axis, at, sign)),
    [ring],
  );
  return rings.filter((one) => Math.abs(ringAreaMm2(one)) > NOTHING_MM2).map((one) => [...one]);
}

/** What lies where `sign · (coordinate - at)` is positive. */
function ringBeyond(ring: Ring, axis: 0 | 1, at: number, sign: 1 | -1): Ring[] {
  const { length } = ring;
  const isIn = ring.map((point) => sign * (point[axis] - at) > 0);
  const from = isIn.findIndex((within, i) => !within && isIn[i + 1 < length ? i + 1 : 0]!);
  if (from < 0) return isIn[0] === true ? [ring] : [];
  const chains: XyMm[][] = [];
  for (let step = 0, i = from; step < length; step++) {
    const follows = i + 1 < length ? i + 1 : 0;
    if (isIn[i]!) chains.at(-1)!.push(ring[i]!);
    if (isIn[i] !== isIn[follows]) {
      const crossing = crossingOf(ring[i]!, ring[follows]!, axis, at);
      if (isIn[follows]!) chains.push([crossing]);
      else chains.at(-1)!.push(crossing);
    }
    i = follows;
  }
  return joined(chains, axis === 0 ? 1 : 0);
}

function crossingOf(a: XyMm, b: XyMm, axis: 0 | 1, at: number): XyMm {
  const t = (at - a[axis]) / (b[axis] - a[axis]);
  return axis === 0 ? [at, a[1] + t * (b[1] - a[1])] : [a[0] + t * (b[0] - a[0]), at];
}

/**
 * Along the cut the ring's inside begins where its outline leaves and ends where it comes back, or the
 * other way round: the first that leaves belongs to the first that comes, and so on.
 * @param along the axis that runs along the cut
 */
function joined(chains: readonly XyMm[][], along: 0 | 1): XyMm[][] {
  const order = (place: (chain: XyMm[]) => XyMm) =>
    [...chains.keys()].sort((a, b) => place(chains[a]!)[along] - place(chains[b]!)[along]);
  const begins = order((chain) => chain[0]!);
  const ends = order((chain) => chain.at(-1)!);
  const next = new Map(ends.map((chain, i) => [chain, begins[i]!]));
  const rings: XyMm[][] = [];
  for (let at = next.keys().next().value; at !== undefined; at = next.keys().next().value) {
    const ring: XyMm[] = [];
    for (let follows = next.get(at); follows !== undefined; follows = next.get(at)) {
      ring.push(...chains[at]!);
      next.delete(at);
      at = follows;
    }
    rings.push(ring);
  }
  return rings;
}
