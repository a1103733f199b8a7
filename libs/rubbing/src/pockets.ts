import { labelPoint } from '#libs/net';
import { bilinear } from '#libs/raster';
import { type Draft, type DraftLead, lineOf } from './draft.js';
import { draftFaces } from './draft-faces.js';
import { rebuild } from './junctions.js';
import type { LeadEvidence } from './lead-evidence.js';

/** A piece whose faces overlap by this much everywhere shows no glass. */
const OVERLAP_MM = 0.3;

/**
 * Dissolves regions that lie under lead altogether: hollows in the wax of one came or of a wide crossing. Of the leads
 * round such a region the one with the least evidence goes.
 */
export function withoutPockets(draft: Draft, outside: number, evidence: LeadEvidence): Draft {
  let now = draft;
  for (let round = 0; round < 20; round++) {
    const pocket = deepestPocket(now, outside);
    if (!pocket) return now;
    const weakest = pocket.leads.reduce((a, b) =>
      heat(now, a, evidence) <= heat(now, b, evidence) ? a : b,
    );
    const into = weakest.left === pocket.region ? weakest.right : weakest.left;
    for (const lead of now.leads) {
      if (lead.left === pocket.region) lead.left = into;
      if (lead.right === pocket.region) lead.right = into;
    }
    // further walls to the same neighbour bound nothing either
    const gone = new Set(now.leads.filter((lead) => lead.left === lead.right));
    now = rebuild(now, gone, (node) => node);
  }
  return now;
}

function deepestPocket(
  draft: Draft,
  outside: number,
): { region: number; leads: DraftLead[] } | undefined {
  const { faces } = draftFaces(draft);
  let worst = -OVERLAP_MM;
  let out: { region: number; leads: DraftLead[] } | undefined;
  for (const face of faces) {
    if (face.areaMm2 <= 0 || face.areaMm2 > 1500) continue;
    const leads = [...new Set(face.leads)].map((i) => draft.leads[i]!);
    const [x, y] = labelPoint([face.ring]).xyMm;
    let room = Infinity;
    for (const lead of leads) {
      const line = lineOf(draft, lead);
      for (let k = 0; k < line.length; k += 2) {
        room = Math.min(room, Math.hypot(line[k]! - x, line[k + 1]! - y) - lead.faceWidthMm / 2);
      }
    }
    if (room >= worst) continue;
    const first = draft.leads[face.leads[0]!]!;
    const others = leads.slice(1);
    const region = [first.left, first.right].find(
      (r) => r !== outside && others.every((l) => l.left === r || l.right === r),
    );
    if (region === undefined) continue;
    worst = room;
    out = { region, leads };
  }
  return out;
}

/** Mean centre-line evidence along a lead. */
export function heat(draft: Draft, lead: DraftLead, evidence: LeadEvidence): number {
  const line = lineOf(draft, lead);
  let sum = 0;
  for (let k = 0; k < line.length; k += 2) {
    sum += bilinear(
      evidence.centre,
      (line[k]! - evidence.originMm[0]) * evidence.cellsPerMm,
      (line[k + 1]! - evidence.originMm[1]) * evidence.cellsPerMm,
    );
  }
  return sum / (line.length / 2);
}
