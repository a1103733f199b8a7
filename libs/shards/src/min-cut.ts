/**
 * Lightest way of cutting a weighted graph in two (Stoer and Wagner, A Simple Min-Cut Algorithm, 1997).
 * @param weights n × n, symmetric, none negative
 * @returns the cut's weight and the nodes on one side; weight Infinity for fewer than two nodes
 */
export function minimumCut(weights: readonly Float64Array[]): { weight: number; side: number[] } {
  const n = weights.length;
  const w = weights.map((row) => Float64Array.from(row));
  const merged = Array.from({ length: n }, (_, i) => [i]);
  let left = Array.from({ length: n }, (_, i) => i);
  let best = { weight: Infinity, side: [] as number[] };
  while (left.length > 1) {
    const pull = new Float64Array(n);
    const waiting = new Set(left);
    let before = -1;
    let last = left[0]!;
    while (waiting.size > 0) {
      let next = -1;
      for (const i of waiting) if (next < 0 || pull[i]! > pull[next]!) next = i;
      waiting.delete(next);
      before = last;
      last = next;
      if (waiting.size > 0) for (const i of waiting) pull[i]! += w[next]![i]!;
    }
    if (pull[last]! < best.weight) best = { weight: pull[last]!, side: [...merged[last]!] };
    merged[before]!.push(...merged[last]!);
    for (const i of left) {
      if (i === before || i === last) continue;
      w[before]![i]! += w[last]![i]!;
      w[i]![before] = w[before]![i]!;
    }
    left = left.filter((i) => i !== last);
  }
  return best;
}
