/** From regions to fitted leads: trace, settle on the evidence, clean the junctions, settle on the wax's own edges. */
import { centreTargets } from './centre-targets.js';
import { crackGraph } from './crack-graph.js';
import { type Draft, draftFromCracks } from './draft.js';
import { regionPlaces } from './draft-faces.js';
import { edgeTargets } from './edge-targets.js';
import { guessFaceWidths, measureFaceWidths } from './face-width.js';
import { endsNow, splitCorners, throughPairs } from './junctions.js';
import type { LeadEvidence } from './lead-evidence.js';
import type { DensitySheet } from './lead-profiles.js';
import { panelOnly } from './parts.js';
import { withoutPockets } from './pockets.js';
import type { Regions } from './regions.js';
import { rejoin } from './rejoin.js';
import { settle } from './settle.js';

/** About 4 mm of smoothing; a bend of 0.12 mm per mm² counts as a corner. */
const SMOOTH = { stiffness: 200, cornerMm: 0.12, rounds: 4 };
const LOOSE = { stiffness: 30, cornerMm: 0.12, rounds: 2 };
const MIN_ISLAND_MM2 = 150;

export interface FittedDraft {
  readonly draft: Draft;
  /** Half the 16-84 percentile range of each lead's width, mm. */
  readonly widthSpreadMm: Float64Array;
}

/**
 * Regions are traced and settled first on the network's centre lines, then on the wax's own edges; then the joints are
 * found again from the leads themselves, twice: the second time from better lines and widths.
 */
export function fitDraft(
  regions: Regions,
  evidence: LeadEvidence,
  sheet: DensitySheet,
): FittedDraft {
  const { outside } = regions;
  const mmOfCell = (x: number, y: number): [number, number] => [
    evidence.originMm[0] + x / evidence.cellsPerMm,
    evidence.originMm[1] + y / evidence.cellsPerMm,
  ];
  let draft = panelOnly(draftFromCracks(crackGraph(regions), mmOfCell, 6), outside, MIN_ISLAND_MM2);
  // as traced no two lines cross, so every region has its face
  const places = regionPlaces(draft, outside);
  settle(draft, centreTargets(draft, evidence, 2.5, []), [], LOOSE);
  guessFaceWidths(draft, evidence);
  const traced = withoutPockets(draft, outside, evidence);
  const left = new Set(traced.leads.flatMap((lead) => [lead.left, lead.right]));
  for (const region of places.keys()) if (!left.has(region)) places.delete(region);
  const ends = endsNow(traced);
  settle(traced, centreTargets(traced, evidence, 2, ends), throughPairs(traced, ends), SMOOTH);
  draft = splitCorners(traced);
  const settleOnEdges = (samples: 1 | 3): Float64Array => {
    settle(draft, edgeTargets(draft, sheet, samples), throughPairs(draft, endsNow(draft)), SMOOTH);
    return measureFaceWidths(draft, sheet, samples);
  };
  measureFaceWidths(draft, sheet, 1);
  let widthSpreadMm = settleOnEdges(1);
  for (const samples of [1, 3] as const) {
    draft = splitCorners(rejoin(draft, places, outside, evidence, sheet, SMOOTH));
    widthSpreadMm = settleOnEdges(samples);
  }
  return { draft, widthSpreadMm };
}
