/**
 * Connected components of the nonzero pixels of `mask`: labels 1..count in scan order, 0 elsewhere.
 * Union-find over runs of rows; `connectivity` 4 or 8.
 */
export function connectedComponents(
  mask: Uint8Array,
  width: number,
  height: number,
  connectivity: 4 | 8,
): { labels: Int32Array; count: number } {
  const labels = new Int32Array(width * height);
  const parent: number[] = [0];
  const find = (a: number): number => {
    let r = a;
    while (parent[r] !== r) r = parent[r]!;
    while (parent[a] !== r) {
      const next = parent[a]!;
      parent[a] = r;
      a = next;
    }
    return r;
  };
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      if (!mask[i]) continue;
      let label = x > 0 ? labels[i - 1]! : 0;
      if (y > 0) {
        const from = connectivity === 8 ? Math.max(0, x - 1) : x;
        const to = connectivity === 8 ? Math.min(width - 1, x + 1) : x;
        for (let u = from; u <= to; u++) {
          const above = labels[i - width + u - x]!;
          if (above === 0) continue;
          if (label === 0) label = above;
          else {
            const a = find(label);
            const b = find(above);
            if (a < b) parent[b] = a;
            else if (b < a) parent[a] = b;
          }
        }
      }
      if (label === 0) {
        label = parent.length;
        parent.push(label);
      }
      labels[i] = label;
    }
  }
  const rename = new Int32Array(parent.length);
  let count = 0;
  for (let k = 1; k < parent.length; k++) {
    const r = find(k);
    if (rename[r] === 0) rename[r] = ++count;
    rename[k] = rename[r]!;
  }
  for (let i = 0; i < labels.length; i++) labels[i] = rename[labels[i]!]!;
  return { labels, count };
}
