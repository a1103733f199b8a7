import type { DoubtfulPlace } from '#libs/net';
import { connectedComponents } from '#libs/raster';
import { type Draft, lineOf } from './draft.js';
import type { LeadEvidence } from './lead-evidence.js';
import type { Regions } from './region-labels.js';

/**
 * Places where the evidence shows a centre line that no lead of the draft explains: at least `minLengthMm` long and
 * farther than 2.5 mm from every drawn line.
 */
export function unexplainedPlaces(
  draft: Draft,
  evidence: LeadEvidence,
  minLengthMm: number,
): DoubtfulPlace[] {
  const { width, height } = evidence.centre;
  const mask = new Uint8Array(width * height);
  for (let i = 0; i < mask.length; i++) {
    mask[i] = evidence.centre.data[i]! > 0.45 && evidence.outside.data[i]! < 0.5 ? 1 : 0;
  }
  const reach = Math.ceil(2.5 * evidence.cellsPerMm);
  for (const lead of draft.leads) {
    const line = lineOf(draft, lead);
    for (let k = 0; k < line.length; k += 2) {
      const cx = Math.round((line[k]! - evidence.originMm[0]) * evidence.cellsPerMm);
      const cy = Math.round((line[k + 1]! - evidence.originMm[1]) * evidence.cellsPerMm);
      for (let y = Math.max(0, cy - reach); y <= Math.min(height - 1, cy + reach); y++) {
        for (let x = Math.max(0, cx - reach); x <= Math.min(width - 1, cx + reach); x++) {
          mask[y * width + x] = 0;
        }
      }
    }
  }
  const { labels, count } = connectedComponents(mask, width, height, 8);
  const cells = new Int32Array(count + 1);
  const box = Array.from({ length: count + 1 }, () => [Infinity, Infinity, -Infinity, -Infinity]);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const l = labels[y * width + x]!;
      if (l === 0) continue;
      cells[l]!++;
      const b = box[l]!;
      b[0] = Math.min(b[0]!, x);
      b[1] = Math.min(b[1]!, y);
      b[2] = Math.max(b[2]!, x);
      b[3] = Math.max(b[3]!, y);
    }
  }
  const out: DoubtfulPlace[] = [];
  for (let l = 1; l <= count; l++) {
    const [x0, y0, x1, y1] = box[l]! as [number, number, number, number];
    const size = Math.hypot(x1 - x0, y1 - y0) / evidence.cellsPerMm;
    if (size < minLengthMm) continue;
    out.push({
      xyMm: [
        evidence.originMm[0] + (x0 + x1) / 2 / evidence.cellsPerMm,
        evidence.originMm[1] + (y0 + y1) / 2 / evidence.cellsPerMm,
      ],
      radiusMm: size / 2 + 2,
      reason: 'may-be-missing',
      leadId: null,
    });
  }
  return out;
}

/** A circle larger than this shows nobody where to look. */
const MOST_RADIUS_MM = 15;
/** A place so near a drawn lead is that lead. */
const DRAWN_MM = 2.5;

/** Places where two pieces were taken for one, though a lead with hardly any wax may run between them. */
export function faintPlaces(
  draft: Draft,
  { faint = [] }: Regions,
  evidence: LeadEvidence,
): DoubtfulPlace[] {
  const lines = draft.leads.map((lead) => lineOf(draft, lead));
  const isDrawn = (x: number, y: number): boolean =>
    lines.some((line) => {
      for (let k = 0; k < line.length; k += 2) {
        if (Math.hypot(line[k]! - x, line[k + 1]! - y) < DRAWN_MM) return true;
      }
      return false;
    });
  return faint.flatMap((wall): DoubtfulPlace[] => {
    const x = evidence.originMm[0] + wall.x / evidence.cellsPerMm;
    const y = evidence.originMm[1] + wall.y / evidence.cellsPerMm;
    if (isDrawn(x, y)) return [];
    const radiusMm = Math.min(MOST_RADIUS_MM, wall.length / evidence.cellsPerMm / 2 + 2);
    return [{ xyMm: [x, y], radiusMm, reason: 'may-be-missing', leadId: null }];
  });
}

/** Without places that lie in another's circle, which comes first. */
export function apart(places: readonly DoubtfulPlace[]): DoubtfulPlace[] {
  const out: DoubtfulPlace[] = [];
  for (const place of places) {
    const [x, y] = place.xyMm;
    const isSaid = out.some((p) => Math.hypot(p.xyMm[0] - x, p.xyMm[1] - y) < p.radiusMm);
    if (!isSaid) out.push(place);
  }
  return out;
}
