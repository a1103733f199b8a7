/** From regions to fitted leads: trace, settle on the evidence, clean the junctions, settle on the wax's own edges. */
import { centreTargets } from './centre-targets.js';
import { crackGraph } from './crack-graph.js';
import { type Draft, draftFromCracks } from './draft.js';
import { edgeTargets } from './edge-targets.js';
import { guessFaceWidths, measureFaceWidths } from './face-width.js';
import {
  contractShortWalls,
  endsNow,
  type Place,
  splitCorners,
  throughPairs,
} from './junctions.js';
import type { LeadEvidence } from './lead-evidence.js';
import type { DensitySheet } from './lead-profiles.js';
import { moveNodes } from './node-places.js';
import { panelOnly } from './parts.js';
import { findCrossings } from './planarity.js';
import type { Regions } from './regions.js';
import { settle } from './settle.js';

/** About 4 mm of smoothing; a bend of 0.12 mm per mm² counts as a corner. */
const SMOOTH = { stiffness: 200, cornerMm: 0.12, rounds: 4 };
const LOOSE = { stiffness: 30, cornerMm: 0.12, rounds: 2 };
/** Lines of one crossing miss their common point by no more than this (and more the wider the junction). */
const CROSSING_TOLERANCE_MM = 1.2;
const MIN_ISLAND_MM2 = 150;
const MAX_REFITS = 2;

export interface FittedDraft {
  readonly draft: Draft;
  /** Half the 16-84 percentile range of each lead's width, mm. */
  readonly widthSpreadMm: Float64Array;
}

/**
 * Where contracting walls or moving nodes made leads cross, the whole fit is done again leaving that place as traced.
 */
export function fitDraft(
  regions: Regions,
  evidence: LeadEvidence,
  sheet: DensitySheet,
): FittedDraft {
  const untouchable: Place[] = [];
  for (let attempt = 0; ; attempt++) {
    const fitted = fitOnce(regions, evidence, sheet, untouchable);
    const crossings = findCrossings(fitted.draft);
    if (crossings.length === 0 || attempt === MAX_REFITS) return fitted;
    for (const { a, b, x, y } of crossings) {
      untouchable.push({ x, y, radiusMm: 10 });
      for (const lead of [fitted.draft.leads[a]!, fitted.draft.leads[b]!]) {
        for (const node of [lead.from, lead.to]) {
          const nx = fitted.draft.xy[2 * node]!;
          const ny = fitted.draft.xy[2 * node + 1]!;
          if (Math.hypot(nx - x, ny - y) < 20) untouchable.push({ x: nx, y: ny, radiusMm: 10 });
        }
      }
    }
  }
}

function fitOnce(
  regions: Regions,
  evidence: LeadEvidence,
  sheet: DensitySheet,
  untouchable: readonly Place[],
): FittedDraft {
  const mmOfCell = (x: number, y: number): [number, number] => [
    evidence.originMm[0] + x / evidence.cellsPerMm,
    evidence.originMm[1] + y / evidence.cellsPerMm,
  ];
  let draft = draftFromCracks(crackGraph(regions), mmOfCell, 6);
  draft = panelOnly(draft, regions.outside, MIN_ISLAND_MM2);
  settle(draft, centreTargets(draft, evidence, 2.5, []), [], LOOSE);
  guessFaceWidths(draft, evidence);
  const settleOnCentres = (): void => {
    const ends = endsNow(draft);
    settle(draft, centreTargets(draft, evidence, 2, ends), throughPairs(draft, ends), SMOOTH);
  };
  settleOnCentres();
  draft = splitCorners(contractShortWalls(draft, CROSSING_TOLERANCE_MM, untouchable));
  draft = moveNodes(draft, endsNow(draft), untouchable);
  settleOnCentres();
  draft = contractShortWalls(draft, CROSSING_TOLERANCE_MM, untouchable);
  draft = moveNodes(draft, endsNow(draft), untouchable);
  measureFaceWidths(draft, sheet);
  let widthSpreadMm = new Float64Array();
  for (let round = 0; round < 2; round++) {
    const ends = endsNow(draft);
    settle(draft, edgeTargets(draft, sheet, ends), throughPairs(draft, ends), SMOOTH);
    if (round === 0) draft = contractShortWalls(draft, CROSSING_TOLERANCE_MM, untouchable);
    widthSpreadMm = Float64Array.from(measureFaceWidths(draft, sheet));
  }
  return { draft, widthSpreadMm };
}
