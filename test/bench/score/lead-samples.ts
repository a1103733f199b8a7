/** Leads as samples every 2 mm, and distances from points to them. */
import { PointTree } from './point-tree.js';
import { resample, type Xy } from './score-math.js';

export interface ScoredLead {
  line: Xy[];
  width_mm?: number | null;
  seen?: number[] | null;
  length_mm?: number;
}

export interface LeadSamples {
  points: Xy[];
  /** Index of the next sample of the same lead, -1 at its end. */
  next: number[];
  /** NaN where the result gives none. */
  widthMm: number[];
  seen: boolean[];
  /** At least 4 samples from both ends of its lead (the middle one of a short lead). */
  awayFromEnds: boolean[];
}

export function sampleLeads(leads: readonly ScoredLead[], stepMm: number): LeadSamples {
  const out: LeadSamples = { points: [], next: [], widthMm: [], seen: [], awayFromEnds: [] };
  for (const lead of leads) {
    const points = resample(lead.line, stepMm);
    const n = points.length;
    const start = out.points.length;
    points.forEach((p, i) => {
      out.points.push(p);
      out.next.push(i < n - 1 ? start + i + 1 : -1);
      out.widthMm.push(lead.width_mm ?? NaN);
      out.seen.push(lead.seen?.length === n ? lead.seen[i] === 1 : true);
      out.awayFromEnds.push(n <= 8 ? i === Math.floor(n / 2) : i >= 4 && i < n - 4);
    });
  }
  return out;
}

const { hypot, max, min } = Math;
const NEIGHBOURS = 6;

/** Distance from each point to the polylines, through its six nearest samples; and the best sample. */
export function distanceToLeads(
  points: readonly Xy[],
  to: LeadSamples,
): { distanceMm: number[]; nearest: number[] } {
  const tree = new PointTree(to.points, NEIGHBOURS);
  const distanceMm: number[] = [];
  const nearest: number[] = [];
  for (const p of points) {
    let best = Infinity;
    let at = -1;
    for (const i of tree.nearest(p[0], p[1], NEIGHBOURS)) {
      const a = to.points[i]!;
      const b = to.points[to.next[i]! < 0 ? i : to.next[i]!]!;
      const ux = b[0] - a[0];
      const uy = b[1] - a[1];
      const length2 = ux * ux + uy * uy;
      const along = (p[0] - a[0]) * ux + (p[1] - a[1]) * uy;
      const t = min(1, max(0, along / (length2 > 0 ? length2 : 1)));
      const d = hypot(p[0] - a[0] - t * ux, p[1] - a[1] - t * uy);
      if (d < best) {
        best = d;
        at = i;
      }
    }
    distanceMm.push(best);
    nearest.push(at);
  }
  return { distanceMm, nearest };
}
