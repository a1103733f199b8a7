/**
 * Finds the joints again from the leads themselves.
 *
 * Tracing puts a node where the pieces of glass end, which at wide crossings and small angles is not where the leads
 * meet. So every lead is taken loose at its ends, settled on the edges that are its own up to where it runs into
 * another, drawn on along its own bend, and joined to what it hits there. Where that does not give the pieces that
 * the sheet shows, the junction stays as traced.
 */
import type { XyMm } from '#libs/net';
import { bilinear } from '#libs/raster';
import { arrange } from './arrange.js';
import type { Draft, DraftLead } from './draft.js';
import { draftFaces, nameSides } from './draft-faces.js';
import { edgeTargets } from './edge-targets.js';
import { type Place, rebuild } from './junctions.js';
import type { LeadEvidence } from './lead-evidence.js';
import type { DensitySheet } from './lead-profiles.js';
import { loosen } from './loosen.js';
import { findCrossings } from './planarity.js';
import { heat } from './pockets.js';
import { type SettleOptions, settle } from './settle.js';

const MAX_TRIES = 5;
const ALONG_WEIGHT = 0.05;
/** Less likely to be under a face than this is glass. */
const BARE = 0.3;
/** Nodes so near a fault are left as traced. */
const SEARCH_MM = 15;
const KEEP_RADIUS_MM = 0.01;

export function rejoin(
  draft: Draft,
  places: ReadonlyMap<number, XyMm>,
  outside: number,
  evidence: LeadEvidence,
  sheet: DensitySheet,
  options: SettleOptions,
): Draft {
  const targets = edgeTargets(draft, sheet, 1);
  const kept: Place[] = [];
  let best = draft;
  let least = 2 * findCrossings(draft).length;
  const isBare = (x: number, y: number): boolean =>
    bilinear(
      evidence.face,
      (x - evidence.originMm[0]) * evidence.cellsPerMm,
      (y - evidence.originMm[1]) * evidence.cellsPerMm,
    ) < BARE;
  for (let attempt = 0; attempt < MAX_TRIES; attempt++) {
    const loosened = loosen(draft, targets, kept, isBare);
    settle(loosened.draft, edgeTargets(loosened.draft, sheet, 1), loosened.through, {
      ...options,
      rounds: 2,
      alongWeight: ALONG_WEIGHT,
    });
    const { draft: joined, failed } = arrange(
      loosened,
      edgeTargets(loosened.draft, sheet, 1),
      isBare,
    );
    const before = kept.length;
    if (failed.length > 0) {
      kept.push(...failed);
      continue;
    }
    const { regions, faces } = nameSides(joined, places, outside);
    const crossings = findCrossings(joined);
    if (regions.length === 0 && crossings.length === 0) {
      if (faces.length === 0) return joined;
      const mended = withoutSpareFaces(joined, evidence);
      if (nameSides(mended, places, outside).regions.length === 0) return mended;
    }
    const faults = regions.length + faces.length + 2 * crossings.length;
    if (faults < least) {
      least = faults;
      best = joined;
    }
    for (const region of new Set(regions)) kept.push(...nodesOf(draft, region));
    for (const ring of faces) {
      const x = ring.reduce((sum, p) => sum + p[0], 0) / ring.length;
      const y = ring.reduce((sum, p) => sum + p[1], 0) / ring.length;
      kept.push(...nodesNear(draft, x, y, SEARCH_MM));
    }
    for (const { x, y } of crossings) kept.push(...nodesNear(draft, x, y, SEARCH_MM));
    if (kept.length === before) break;
  }
  return best;
}

/** Faces that no region of the sheet fills lose the lead with the least evidence. */
function withoutSpareFaces(draft: Draft, evidence: LeadEvidence): Draft {
  const gone = new Set<DraftLead>();
  const { faces, sides } = draftFaces(draft);
  faces.forEach((face, f) => {
    if (face.areaMm2 <= 0) return;
    const leads = [...new Set(face.leads)];
    const isSpare = leads.every((i) => {
      const { left, right } = draft.leads[i]!;
      return (sides[i]![0] === f ? left : right) === -1;
    });
    if (!isSpare || leads.some((i) => gone.has(draft.leads[i]!))) return;
    const weakest = leads
      .map((i) => draft.leads[i]!)
      .reduce((a, b) => (heat(draft, a, evidence) <= heat(draft, b, evidence) ? a : b));
    gone.add(weakest);
  });
  return rebuild(draft, gone, (node) => node);
}

function nodesOf(draft: Draft, region: number): Place[] {
  const nodes = new Set<number>();
  for (const lead of draft.leads) {
    if (lead.left === region || lead.right === region) nodes.add(lead.from).add(lead.to);
  }
  return [...nodes].map((n) => placeAt(draft, n));
}

function nodesNear(draft: Draft, x: number, y: number, withinMm: number): Place[] {
  const out: Place[] = [];
  for (let n = 0; n < draft.nodeCount; n++) {
    const d = Math.hypot(draft.xy[2 * n]! - x, draft.xy[2 * n + 1]! - y);
    if (d < withinMm) out.push(placeAt(draft, n));
  }
  return out;
}

function placeAt(draft: Draft, n: number): Place {
  return { x: draft.xy[2 * n]!, y: draft.xy[2 * n + 1]!, radiusMm: KEEP_RADIUS_MM };
}
