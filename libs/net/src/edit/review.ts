/** What a person should look at before the drawing is signed, as a queue of questions, worst first. */
import type { DoubtReason, XyMm } from '../net.js';
import { boundsMm } from '../ring.js';
import { middleOf } from './cut.js';
import type { Drawing } from './drawing.js';
import { openEnds } from './gaps.js';

export interface Question {
  /** The same for the same question, whatever else was answered. */
  readonly key: string;
  /** Is this lead there? Is a lead missing here? Where does this end go on? */
  readonly about: 'lead' | 'place' | 'gap';
  readonly leadId: string | null;
  readonly placeIds: readonly string[];
  readonly jointId: string | null;
  /** Where to look, and how far round it. */
  readonly xyMm: XyMm;
  readonly radiusMm: number;
  readonly reasons: readonly DoubtReason[];
  /** How sure the reading was; lowest first. */
  readonly confidenceP: number;
}

/** A place without a lead was not given a probability: a missing lead is the worst that can be. */
const MISSING_P = 0.3;
const UNCLEAR_P = 0.5;

export function questionsOf(drawing: Drawing): Question[] {
  const byLead = new Map<string, string[]>();
  const questions: Question[] = [];
  for (const [placeId, place] of drawing.places) {
    if (place.leadId !== null && drawing.leads.has(place.leadId)) {
      byLead.set(place.leadId, [...(byLead.get(place.leadId) ?? []), placeId]);
      continue;
    }
    questions.push({
      key: placeId,
      about: 'place',
      leadId: null,
      placeIds: [placeId],
      jointId: null,
      xyMm: place.xyMm,
      radiusMm: place.radiusMm,
      reasons: [place.reason],
      confidenceP: place.reason === 'may-be-missing' ? MISSING_P : UNCLEAR_P,
    });
  }
  for (const [leadId, lead] of drawing.leads) {
    const placeIds = byLead.get(leadId) ?? [];
    if (lead.doubts.length === 0 && placeIds.length === 0) continue;
    const box = boundsMm(lead.lineMm);
    const first = placeIds[0] === undefined ? undefined : drawing.places.get(placeIds[0]);
    questions.push({
      key: leadId,
      about: 'lead',
      leadId,
      placeIds,
      jointId: null,
      xyMm: first?.xyMm ?? middleOf(lead),
      radiusMm: Math.max(box.maxX - box.minX, box.maxY - box.minY) / 2,
      reasons: [
        ...new Set([...lead.doubts, ...placeIds.map((id) => drawing.places.get(id)!.reason)]),
      ],
      confidenceP: lead.confidenceP,
    });
  }
  for (const end of openEnds(drawing)) {
    // A person who drew a broken lead, or left it so, has answered; see keepOpen.
    const lead = drawing.leads.get(end.leadId)!;
    if (end.isBroken && lead.confidenceP === 1) continue;
    questions.push({
      key: `${end.leadId} ${end.jointId}`,
      about: 'gap',
      leadId: end.leadId,
      placeIds: [],
      jointId: end.jointId,
      xyMm: end.xyMm,
      radiusMm: 15,
      reasons: [],
      confidenceP: end.isBroken ? lead.confidenceP : 0,
    });
  }
  return questions.sort((a, b) => a.confidenceP - b.confidenceP || (a.key < b.key ? -1 : 1));
}
