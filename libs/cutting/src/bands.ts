/**
 * A piece in bands: for each stretch of `bandMm` in height, what of the width it takes there. Nothing of
 * the piece lies outside its bands, so pieces whose bands are apart are apart.
 */
import type { XyMm } from '#libs/net';

/** `[from, to, from, to, …]` in growing order. */
export type Spans = readonly number[];

/**
 * @param ring of any orientation, all of it at y ≥ 0; simple
 * @returns one list of spans for each band from y = 0 on
 */
export function bandsOf(ring: readonly XyMm[], bandMm: number): Spans[] {
  const highest = Math.max(...ring.map(([, y]) => y));
  // What reaches into a band by less than a thousandth of a millimetre is rounding.
  const count = Math.max(1, Math.ceil((highest - 1e-3) / bandMm));
  const edges = edgesOf(ring);
  const heights = ring.map(([, y]) => y).sort((a, b) => a - b);
  let next = 0;
  return Array.from({ length: count }, (_, band) => {
    const top = band * bandMm;
    const bottom = band === count - 1 ? Math.max(highest, top) : top + bandMm;
    while (next < heights.length && heights[next]! <= top) next++;
    const cuts = [top];
    for (let i = next; i < heights.length && heights[i]! < bottom; i++) {
      if (heights[i]! > cuts[cuts.length - 1]!) cuts.push(heights[i]!);
    }
    cuts.push(bottom);
    const spans: [number, number][] = [];
    for (let i = 1; i < cuts.length; i++) spans.push(...slab(edges, cuts[i - 1]!, cuts[i]!));
    return merged(spans);
  });
}

interface Edge {
  readonly top: number;
  readonly bottom: number;
  readonly at: (y: number) => number;
}

function edgesOf(ring: readonly XyMm[]): Edge[] {
  return ring.flatMap(([x1, y1], i): Edge[] => {
    const [x2, y2] = ring[(i + 1) % ring.length]!;
    if (y1 === y2) return [];
    const at = (y: number) => x1 + ((y - y1) / (y2 - y1)) * (x2 - x1);
    return [{ top: Math.min(y1, y2), bottom: Math.max(y1, y2), at }];
  });
}

/** Between two heights without a corner between them the ring is trapezia, each between two edges. */
function slab(edges: readonly Edge[], top: number, bottom: number): [number, number][] {
  const middle = (top + bottom) / 2;
  const across = edges
    .filter((edge) => edge.top < middle && edge.bottom > middle)
    .map((edge) => ({ edge, x: edge.at(middle) }))
    .sort((a, b) => a.x - b.x);
  const spans: [number, number][] = [];
  for (let i = 0; i + 1 < across.length; i += 2) {
    const [left, right] = [across[i]!.edge, across[i + 1]!.edge];
    spans.push([
      Math.min(left.at(top), left.at(bottom)),
      Math.max(right.at(top), right.at(bottom)),
    ]);
  }
  return spans;
}

function merged(spans: [number, number][]): number[] {
  const out: number[] = [];
  for (const [from, to] of spans.sort((a, b) => a[0] - b[0])) {
    const last = out.length - 1;
    if (last > 0 && from <= out[last]!) out[last] = Math.max(out[last]!, to);
    else out.push(from, to);
  }
  return out;
}
