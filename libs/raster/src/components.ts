/**
 * Connected components of the nonzero pixels of `mask`: labels 1..count in scan order, 0 elsewhere.
 *
 * Works on runs of a row, not on pixels: each run takes the labels of the runs that it touches above (two pointers,
 * union-find), and the pixels are written once at the end.
 * @param connectivity 8 joins over corners as well
 */
export function connectedComponents(
  mask: Uint8Array,
  width: number,
  height: number,
  connectivity: 4 | 8,
): { labels: Int32Array; count: number } {
  const runs = runsOf(mask, width, height);
  const { starts, ends, rowFirst } = runs;
  const count = rowFirst[height]!;
  // a run's parent is a run before it, or itself; the root is the component's first run in scan order
  const parent = new Int32Array(count);
  const reach = connectivity === 8 ? 1 : 0;
  for (let y = 0; y < height; y++) {
    let above = y > 0 ? rowFirst[y - 1]! : 0;
    const aboveEnd = y > 0 ? rowFirst[y]! : 0;
    for (let r = rowFirst[y]!; r < rowFirst[y + 1]!; r++) {
      parent[r] = r;
      const from = starts[r]! - width - reach;
      const to = ends[r]! - width + reach;
      while (above < aboveEnd && ends[above]! <= from) above++;
      for (let a = above; a < aboveEnd && starts[a]! < to; a++) {
        let p = a;
        while (parent[p] !== p) p = parent[p] = parent[parent[p]!]!;
        let q = r;
        while (parent[q] !== q) q = parent[q] = parent[parent[q]!]!;
        if (p < q) parent[q] = p;
        else parent[p] = q;
      }
    }
  }
  const labels = new Int32Array(width * height);
  let used = 0;
  const name = new Int32Array(count);
  for (let r = 0; r < count; r++) {
    const p = parent[r]!;
    // parents come first, so theirs is named already
    const label = (name[r] = p === r ? ++used : name[p]!);
    for (let i = starts[r]!, end = ends[r]!; i < end; i++) labels[i] = label;
  }
  return { labels, count: used };
}

interface Runs {
  /** Index of a run's first pixel, and of the one after its last. */
  readonly starts: Int32Array;
  readonly ends: Int32Array;
  /** First run of each row; one more at the end. */
  readonly rowFirst: Int32Array;
}

function runsOf(mask: Uint8Array, width: number, height: number): Runs {
  let starts = new Int32Array(1024);
  let ends = new Int32Array(1024);
  const rowFirst = new Int32Array(height + 1);
  let count = 0;
  for (let y = 0; y < height; y++) {
    rowFirst[y] = count;
    if (count + width > starts.length) {
      starts = longer(starts, width);
      ends = longer(ends, width);
    }
    const end = (y + 1) * width;
    let i = y * width;
    while (i < end) {
      while (i < end && mask[i] === 0) i++;
      if (i === end) break;
      starts[count] = i;
      while (i < end && mask[i] !== 0) i++;
      ends[count++] = i;
    }
  }
  rowFirst[height] = count;
  return { starts, ends, rowFirst };
}

function longer(list: Int32Array<ArrayBuffer>, by: number): Int32Array<ArrayBuffer> {
  const out = new Int32Array(2 * list.length + by);
  out.set(list);
  return out;
}
