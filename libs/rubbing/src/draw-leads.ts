/** From what the sheet says about leads to the drawing of them: regions, fitted leads, how sure each is, what is doubtful. */
import { type DoubtfulPlace, type NetSketch, pointsOfFlat, type SketchLead } from '#libs/net';
import { buildable } from './buildable.js';
import { type Draft, type DraftLead, lineOf } from './draft.js';
import { withoutBridges } from './draft-faces.js';
import { facingPlaces } from './facing-ends.js';
import { fitDraft } from './fit-draft.js';
import { confidenceP, doubtsOf, leadFeatures } from './lead-confidence.js';
import type { LeadEvidence } from './lead-evidence.js';
import type { DensitySheet } from './lead-profiles.js';
import { apart, faintPlaces, unexplainedPlaces } from './missing-leads.js';
import { withOpenEnds } from './open-ends.js';
import { withoutCrossings } from './planarity.js';
import { type ReadRegions, regions } from './regions.js';
import { RubbingError } from './rubbing-error.js';
import { agreement } from './second-reading.js';

export interface DrawnLeads {
  readonly regions: ReadRegions;
  /** Where the sketch's nodes and leads come from, in the same order. */
  readonly draft: Draft;
  readonly sketch: NetSketch;
  /** `leadId` is always null here: leads get their ids when the net is built. */
  readonly doubtfulPlaces: readonly DoubtfulPlace[];
}

/** A panel has at least this much lead and one piece of glass. */
const MIN_LEAD_LENGTH_MM = 60;

/**
 * Draws the leads of one panel. All places in the frame of `evidence`, millimetres.
 * @throws RubbingError `no-leads`
 */
export function drawLeads(
  evidence: LeadEvidence,
  sheet: DensitySheet,
  onProgress: (stage: string, ratio: number) => void = () => undefined,
): DrawnLeads {
  onProgress('regions', 0);
  const found = regions(evidence);
  if (found.count < 2) throw noLeads();
  onProgress('net', 0.2);
  const fitted = fitDraft(found, evidence, sheet);
  onProgress('check', 0.8);
  const features = new Map(
    leadFeatures(fitted.draft, evidence, sheet).map((f, i) => [fitted.draft.leads[i]!, f]),
  );
  const certain = new Map(
    fitted.draft.leads.map((lead) => [
      `${lead.left},${lead.right}`,
      confidenceP(features.get(lead)!),
    ]),
  );
  const certainty = (lead: DraftLead): number => certain.get(`${lead.left},${lead.right}`) ?? 0;
  const { draft: whole, placesMm } = buildable(
    withoutBridges(withoutCrossings(fitted.draft, certainty)),
    certainty,
  );
  const { draft, open } = withOpenEnds(whole, evidence);
  const spread = new Map(
    fitted.draft.leads.map((lead, i) => [
      `${lead.left},${lead.right}`,
      fitted.widthSpreadMm[i] ?? 0,
    ]),
  );
  // the same draft where nothing had to go
  const finalFeatures =
    draft === fitted.draft ? [...features.values()] : leadFeatures(draft, evidence, sheet);
  const agreed = agreement(draft, found.strictWalls, evidence);
  const leads = draft.leads.map((lead, i): SketchLead => {
    const f = finalFeatures[i]!;
    const p = confidenceP(f, agreed[i]);
    const widthSpreadMm = spread.get(`${lead.left},${lead.right}`) ?? 0;
    const isOuter = lead.left === found.outside || lead.right === found.outside;
    return {
      from: lead.from,
      to: lead.to,
      kind: open.has(lead) ? 'broken' : isOuter ? 'outer' : 'came',
      lineMm: pointsOfFlat(lineOf(draft, lead)),
      faceWidthMm: lead.faceWidthMm,
      widthSpreadMm,
      confidenceP: p,
      doubts: doubtsOf(f, widthSpreadMm, p, agreed[i]!),
    };
  });
  const total = finalFeatures.reduce((s, f) => s + f.lengthMm, 0);
  if (leads.length === 0 || total < MIN_LEAD_LENGTH_MM) throw noLeads();
  return {
    regions: found,
    draft,
    sketch: {
      nodes: pointsOfFlat(draft.xy.subarray(0, 2 * draft.nodeCount)).map((xyMm) => ({ xyMm })),
      leads,
    },
    doubtfulPlaces: apart([
      ...unexplainedPlaces(draft, evidence, 8),
      ...placesMm.map(
        (xyMm): DoubtfulPlace => ({ xyMm, radiusMm: 10, reason: 'may-be-missing', leadId: null }),
      ),
      ...faintPlaces(draft, found, evidence),
      ...facingPlaces(draft, evidence),
    ]),
  };
}

function noLeads(): RubbingError {
  return new RubbingError(
    'no-leads',
    'No came was found on the sheet: check that this is the rubbing, that the marks were tapped in their order, and that the wax shows in the picture.',
  );
}
