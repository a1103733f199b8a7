/** What a person says of leads without moving them. */
import type { LeadKind } from '../net.js';
import { NetError } from '../net-error.js';
import { changed, type Drawing, type DrawnLead, leadOf } from './drawing.js';

export interface LeadWord {
  readonly kind?: LeadKind;
  /** Over the leaves, as a rubbing shows it. */
  readonly faceWidthMm?: number;
  /** Read off a gauge at a cut end; null: not measured. */
  readonly profile?: string | null;
}

/** @throws {NetError} `bad-edit` for a width that no came has */
export function setLeads(drawing: Drawing, leadIds: Iterable<string>, word: LeadWord): Drawing {
  const { faceWidthMm } = word;
  if (faceWidthMm !== undefined && !(faceWidthMm >= 0.5 && faceWidthMm <= 60)) {
    throw new NetError('bad-edit', `a face width is between 0.5 and 60 mm, not ${faceWidthMm}`);
  }
  return changed(drawing, {
    leads: [...leadIds].map((id): [string, DrawnLead] => [
      id,
      {
        ...leadOf(drawing, id),
        ...word,
        // A width that was typed has no scatter.
        ...(faceWidthMm === undefined ? {} : { widthSpreadMm: 0 }),
      },
    ]),
  });
}

/** A person has looked: the leads are there and run as drawn. */
export function confirmLeads(drawing: Drawing, leadIds: Iterable<string>): Drawing {
  const ids = new Set(leadIds);
  return changed(drawing, {
    leads: [...ids].map((id): [string, DrawnLead] => [
      id,
      { ...leadOf(drawing, id), confidenceP: 1, doubts: [] },
    ]),
    places: [...drawing.places].flatMap(([id, place]): [string, null][] =>
      place.leadId !== null && ids.has(place.leadId) ? [[id, null]] : [],
    ),
  });
}

/** A person has looked: nothing is missing at this place, or what was is drawn. */
export function answerPlaces(drawing: Drawing, placeIds: Iterable<string>): Drawing {
  return changed(drawing, { places: [...placeIds].map((id) => [id, null]) });
}

/** All leads whose face is as wide as this one's, within what a rubbing can tell apart. */
export function leadsOfWidth(drawing: Drawing, leadId: string, withinMm = 0.4): string[] {
  const { faceWidthMm } = leadOf(drawing, leadId);
  return [...drawing.leads]
    .filter(([, lead]) => Math.abs(lead.faceWidthMm - faceWidthMm) <= withinMm)
    .map(([id]) => id);
}
