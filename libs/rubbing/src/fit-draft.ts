/** From regions to fitted leads: trace, settle on the evidence, clean the junctions, settle on the wax's own edges. */
import { centreTargets } from './centre-targets.js';
import { crackGraph } from './crack-graph.js';
import { type Draft, draftFromCracks } from './draft.js';
import { edgeTargets } from './edge-targets.js';
import { guessFaceWidths, measureFaceWidths } from './face-width.js';
import { contractShortWalls, endsNow, splitCorners, throughPairs } from './junctions.js';
import type { LeadEvidence } from './lead-evidence.js';
import type { DensitySheet } from './lead-profiles.js';
import { moveNodes } from './node-places.js';
import { panelOnly } from './parts.js';
import type { Regions } from './regions.js';
import { settle } from './settle.js';

/** About 4 mm of smoothing; a bend of 0.12 mm per mm² counts as a corner. */
const SMOOTH = { stiffness: 200, cornerMm: 0.12, rounds: 4 };
const LOOSE = { stiffness: 30, cornerMm: 0.12, rounds: 2 };
/** Lines of one crossing miss their common point by no more than this. */
const CROSSING_TOLERANCE_MM = 1.3;
const MIN_ISLAND_MM2 = 150;

export interface FittedDraft {
  readonly draft: Draft;
  /** Half the 16-84 percentile range of each lead's width, mm. */
  readonly widthSpreadMm: Float64Array;
}

export function fitDraft(
  regions: Regions,
  evidence: LeadEvidence,
  sheet: DensitySheet,
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
  draft = splitCorners(contractShortWalls(draft, CROSSING_TOLERANCE_MM));
  draft = moveNodes(draft, endsNow(draft));
  settleOnCentres();
  draft = contractShortWalls(draft, CROSSING_TOLERANCE_MM);
  draft = moveNodes(draft, endsNow(draft));
  measureFaceWidths(draft, sheet);
  let widthSpreadMm = new Float64Array();
  for (let round = 0; round < 2; round++) {
    const ends = endsNow(draft);
    settle(draft, edgeTargets(draft, sheet, ends), throughPairs(draft, ends), SMOOTH);
    if (round === 0) draft = contractShortWalls(draft, CROSSING_TOLERANCE_MM);
    widthSpreadMm = Float64Array.from(measureFaceWidths(draft, sheet));
  }
  return { draft, widthSpreadMm };
}
