import { type Draft, lineOf } from './draft.js';

const CELLS_PER_MM = 2;
/** The painted band is this much wider than the face on either side: edges are soft. */
const MARGIN_MM = 0.2;
/** And so much longer than its stretch at either end. */
const BEYOND_MM = 0.3;

/** Which leads' faces cover which places: two leads are remembered a cell, which tells "another one" for every lead. */
export class LeadCover {
  private readonly left: number;
  private readonly top: number;
  private readonly width: number;
  private readonly height: number;
  /** Lead index + 1, 0 for none. */
  private readonly first: Uint16Array;
  private readonly second: Uint16Array;

  constructor(draft: Draft) {
    const lines = draft.leads.map((lead) => lineOf(draft, lead));
    const box = [Infinity, Infinity, -Infinity, -Infinity] as [number, number, number, number];
    let widest = 0;
    lines.forEach((line, i) => {
      widest = Math.max(widest, draft.leads[i]!.faceWidthMm);
      for (let k = 0; k < line.length; k += 2) {
        box[0] = Math.min(box[0], line[k]!);
        box[1] = Math.min(box[1], line[k + 1]!);
        box[2] = Math.max(box[2], line[k]!);
        box[3] = Math.max(box[3], line[k + 1]!);
      }
    });
    const pad = widest / 2 + 2;
    this.left = box[0] - pad;
    this.top = box[1] - pad;
    this.width = lines.length === 0 ? 1 : Math.ceil((box[2] - box[0] + 2 * pad) * CELLS_PER_MM);
    this.height = lines.length === 0 ? 1 : Math.ceil((box[3] - box[1] + 2 * pad) * CELLS_PER_MM);
    this.first = new Uint16Array(this.width * this.height);
    this.second = new Uint16Array(this.width * this.height);
    lines.forEach((line, i) => {
      for (let k = 0; k + 3 < line.length; k += 2) {
        this.paint(
          i + 1,
          line[k]!,
          line[k + 1]!,
          line[k + 2]!,
          line[k + 3]!,
          draft.leads[i]!.faceWidthMm,
        );
      }
    });
  }

  /** Does the face of a lead other than `lead` cover this place? */
  byOther(lead: number, x: number, y: number): boolean {
    const u = Math.round((x - this.left) * CELLS_PER_MM);
    const v = Math.round((y - this.top) * CELLS_PER_MM);
    if (u < 0 || v < 0 || u >= this.width || v >= this.height) return false;
    const a = this.first[v * this.width + u]!;
    return (a !== 0 && a !== lead + 1) || this.second[v * this.width + u]! !== 0;
  }

  /** Half the band to either side of one stretch, square at its ends. */
  private paint(
    name: number,
    ax: number,
    ay: number,
    bx: number,
    by: number,
    faceWidthMm: number,
  ): void {
    const half = faceWidthMm / 2 + MARGIN_MM;
    const length = Math.hypot(bx - ax, by - ay);
    if (length < 1e-9) return;
    const dx = (bx - ax) / length;
    const dy = (by - ay) / length;
    const u0 = Math.max(0, Math.floor((Math.min(ax, bx) - half - this.left) * CELLS_PER_MM));
    const u1 = Math.ceil((Math.max(ax, bx) + half - this.left) * CELLS_PER_MM);
    const v0 = Math.max(0, Math.floor((Math.min(ay, by) - half - this.top) * CELLS_PER_MM));
    const v1 = Math.ceil((Math.max(ay, by) + half - this.top) * CELLS_PER_MM);
    for (let v = v0; v <= Math.min(v1, this.height - 1); v++) {
      const y = v / CELLS_PER_MM + this.top - ay;
      // where -BEYOND ≤ x dx + y dy ≤ length + BEYOND and -half ≤ x dy - y dx ≤ half
      let least = -Infinity;
      let most = Infinity;
      if (Math.abs(dx) > 1e-6) {
        const p = (-BEYOND_MM - y * dy) / dx;
        const q = (length + BEYOND_MM - y * dy) / dx;
        least = p < q ? p : q;
        most = p < q ? q : p;
      }
      if (Math.abs(dy) > 1e-6) {
        const p = (y * dx - half) / dy;
        const q = (y * dx + half) / dy;
        least = Math.max(least, p < q ? p : q);
        most = Math.min(most, p < q ? q : p);
      }
      const from = Math.max(u0, Math.floor((least + ax - this.left) * CELLS_PER_MM));
      const to = Math.min(u1, this.width - 1, Math.ceil((most + ax - this.left) * CELLS_PER_MM));
      for (let u = from; u <= to; u++) {
        const x = u / CELLS_PER_MM + this.left - ax;
        const along = x * dx + y * dy;
        if (along < -BEYOND_MM || along > length + BEYOND_MM || Math.abs(x * dy - y * dx) > half)
          continue;
        const i = v * this.width + u;
        const now = this.first[i]!;
        if (now === 0) this.first[i] = name;
        else if (now !== name) this.second[i] = name;
      }
    }
  }
}
