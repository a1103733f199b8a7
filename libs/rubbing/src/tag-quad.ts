/** The four corners of a dark four-sided figure, roughly, from its pixels. */

export interface LabelBox {
  readonly label: number;
  minX: number;
  minY: number;
  maxX: number;
  maxY: number;
  pixels: number;
}

/** Outline pixels lie this close to the four sides; a rubbing's crumbs do not. */
const MOST_OFF_PX = 1.2;

/** @returns flat corners clockwise as seen (y down), or undefined when the figure is no quadrilateral */
export function quadOf(labels: Int32Array, width: number, box: LabelBox): number[] | undefined {
  const outline = outlineOf(labels, width, box);
  if (outline.length < 16) return undefined;
  const n = outline.length / 2;
  const far = (score: (x: number, y: number) => number): number => {
    let best = 0;
    let most = -Infinity;
    for (let k = 0; k < n; k++) {
      const s = score(outline[2 * k]!, outline[2 * k + 1]!);
      if (s > most) {
        most = s;
        best = k;
      }
    }
    return best;
  };
  const cx = (box.minX + box.maxX) / 2;
  const cy = (box.minY + box.maxY) / 2;
  const at = (k: number): [number, number] => [outline[2 * k]!, outline[2 * k + 1]!];
  const [ax, ay] = at(far((x, y) => Math.hypot(x - cx, y - cy)));
  const [cx2, cy2] = at(far((x, y) => Math.hypot(x - ax, y - ay)));
  const [ux, uy] = [cx2 - ax, cy2 - ay];
  const across = (x: number, y: number): number => ux * (y - ay) - uy * (x - ax);
  const [bx, by] = at(far((x, y) => across(x, y)));
  const [dx, dy] = at(far((x, y) => -across(x, y)));
  const diagonal = Math.hypot(ux, uy);
  const sideB = across(bx, by) / diagonal;
  const sideD = -across(dx, dy) / diagonal;
  if (Math.min(sideB, sideD) < 0.2 * diagonal) return undefined;
  // across > 0 lies clockwise of the way from a to c when y points down: a, d, c, b runs clockwise
  const quad = [ax, ay, dx, dy, cx2, cy2, bx, by];
  let off = 0;
  for (let k = 0; k < n; k++) {
    let near = Infinity;
    for (let s = 0; s < 4; s++) {
      near = Math.min(
        near,
        distanceToSide(
          outline[2 * k]!,
          outline[2 * k + 1]!,
          quad[2 * s]!,
          quad[2 * s + 1]!,
          quad[(2 * s + 2) % 8]!,
          quad[(2 * s + 3) % 8]!,
        ),
      );
    }
    off += near / n;
  }
  return off < MOST_OFF_PX ? quad : undefined;
}

/** First and last pixel of the figure in each row and column of its box, flat. */
function outlineOf(labels: Int32Array, width: number, box: LabelBox): number[] {
  const out: number[] = [];
  const isIn = (x: number, y: number): boolean => labels[y * width + x] === box.label;
  for (let y = box.minY; y <= box.maxY; y++) {
    let x = box.minX;
    while (x <= box.maxX && !isIn(x, y)) x++;
    if (x > box.maxX) continue;
    out.push(x - 0.5, y);
    x = box.maxX;
    while (!isIn(x, y)) x--;
    out.push(x + 0.5, y);
  }
  for (let x = box.minX; x <= box.maxX; x++) {
    let y = box.minY;
    while (y <= box.maxY && !isIn(x, y)) y++;
    if (y > box.maxY) continue;
    out.push(x, y - 0.5);
    y = box.maxY;
    while (!isIn(x, y)) y--;
    out.push(x, y + 0.5);
  }
  return out;
}

function distanceToSide(
  x: number,
  y: number,
  ax: number,
  ay: number,
  bx: number,
  by: number,
): number {
  const [ux, uy] = [bx - ax, by - ay];
  const t = Math.max(0, Math.min(1, ((x - ax) * ux + (y - ay) * uy) / (ux * ux + uy * uy)));
  return Math.hypot(x - ax - t * ux, y - ay - t * uy);
}
