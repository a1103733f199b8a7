const BIN_MM = 8;

export interface Segment {
  readonly line: number;
  /** Index of its first point in the line. */
  readonly k: number;
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

type Stretch = Pick<Segment, 'x0' | 'y0' | 'x1' | 'y1'>;

export interface Hit {
  readonly segment: Segment;
  readonly x: number;
  readonly y: number;
}

/** Stretches of lines in square bins, for finding where lines meet. */
export class SegmentBins {
  private readonly bins = new Map<number, Segment[]>();

  /** @param line flat x,y; @param from first point to use, @param to last one */
  add(name: number, line: ArrayLike<number>, from = 0, to = line.length / 2 - 1): void {
    for (let k = from; k < to; k++) {
      const s = {
        line: name,
        k,
        x0: line[2 * k]!,
        y0: line[2 * k + 1]!,
        x1: line[2 * k + 2]!,
        y1: line[2 * k + 3]!,
      };
      const box = binsOf(s);
      for (let u = box.u0; u <= box.u1; u++) {
        for (let v = box.v0; v <= box.v1; v++) {
          const bin = this.bins.get(keyOf(u, v));
          if (bin) bin.push(s);
          else this.bins.set(keyOf(u, v), [s]);
        }
      }
    }
  }

  /** Where the stretch (x0, y0)-(x1, y1) first meets a line that `isWanted`. */
  firstHit(stretch: Stretch, isWanted: (line: number) => boolean): Hit | undefined {
    let best: Hit | undefined;
    let least = Infinity;
    const box = binsOf(stretch);
    for (let u = box.u0; u <= box.u1; u++) {
      for (let v = box.v0; v <= box.v1; v++) {
        for (const segment of this.bins.get(keyOf(u, v)) ?? NONE) {
          if (!isWanted(segment.line)) continue;
          const at = intersection(stretch, segment);
          if (!at) continue;
          const d = Math.hypot(at[0] - stretch.x0, at[1] - stretch.y0);
          if (d < least) {
            least = d;
            best = { segment, x: at[0], y: at[1] };
          }
        }
      }
    }
    return best;
  }

  /** Every meeting of stretches of two different lines; a pair of stretches once. */
  meetings(): { a: Segment; b: Segment; x: number; y: number }[] {
    const out: { a: Segment; b: Segment; x: number; y: number }[] = [];
    // two stretches that meet may share several bins
    const done = new Map<Segment, Set<Segment>>();
    for (const bin of this.bins.values()) {
      for (let i = 0; i < bin.length; i++) {
        for (let j = 0; j < i; j++) {
          const a = bin[i]!;
          const b = bin[j]!;
          if (a.line === b.line || areApart(a, b)) continue;
          const at = intersection(a, b);
          if (!at) continue;
          let met = done.get(a);
          if (!met) done.set(a, (met = new Set()));
          if (met.has(b)) continue;
          met.add(b);
          out.push({ a, b, x: at[0], y: at[1] });
        }
      }
    }
    return out;
  }
}

const NONE: readonly Segment[] = [];

/** Columns and rows of bins that a stretch's box reaches into. */
function binsOf(s: Stretch): {
  u0: number;
  u1: number;
  v0: number;
  v1: number;
} {
  return {
    u0: Math.floor(Math.min(s.x0, s.x1) / BIN_MM),
    u1: Math.floor(Math.max(s.x0, s.x1) / BIN_MM),
    v0: Math.floor(Math.min(s.y0, s.y1) / BIN_MM),
    v1: Math.floor(Math.max(s.y0, s.y1) / BIN_MM),
  };
}

function keyOf(u: number, v: number): number {
  return (u + 32768) * 65536 + v + 32768;
}

/** Do the stretches' boxes lie clear of one another? By a hair more than `intersection` allows. */
function areApart(s: Stretch, t: Stretch): boolean {
  return (
    Math.max(s.x0, s.x1) + HAIR_MM < Math.min(t.x0, t.x1) ||
    Math.max(t.x0, t.x1) + HAIR_MM < Math.min(s.x0, s.x1) ||
    Math.max(s.y0, s.y1) + HAIR_MM < Math.min(t.y0, t.y1) ||
    Math.max(t.y0, t.y1) + HAIR_MM < Math.min(s.y0, s.y1)
  );
}

const HAIR_MM = 1e-6;

/** Where two stretches meet, their ends included. */
export function intersection(s: Stretch, t: Stretch): [number, number] | undefined {
  const ax = s.x1 - s.x0;
  const ay = s.y1 - s.y0;
  const bx = t.x1 - t.x0;
  const by = t.y1 - t.y0;
  const det = ax * by - ay * bx;
  if (Math.abs(det) < 1e-12) return undefined;
  const u = ((t.x0 - s.x0) * by - (t.y0 - s.y0) * bx) / det;
  const v = ((t.x0 - s.x0) * ay - (t.y0 - s.y0) * ax) / det;
  const e = 1e-9;
  return u < -e || u > 1 + e || v < -e || v > 1 + e ? undefined : [s.x0 + u * ax, s.y0 + u * ay];
}
