/** The came round the panel's edge: which leads it is made of. */

import { traceFaces } from '../faces.js';
import type { LeadKind } from '../net.js';
import { cleanSketch } from '../sketch.js';
import { changed, type Drawing, type DrawnLead, sketchOfDrawing } from './drawing.js';

/**
 * Calls outer what the outside of the panel touches, and came what was called outer but lies within.
 * Mending leads and foil on the edge stay what they are.
 *
 * @throws {NetError} `leads-cross`, `leads-overlap` while there is no plane drawing to walk round
 */
export function markOuter(drawing: Drawing): Drawing {
  const clean = cleanSketch(sketchOfDrawing(drawing).sketch);
  const { walks } = traceFaces(clean, (lead) => clean.leads[lead]!.kind !== 'strap');
  if (walks.length === 0) return drawing;
  const outside = walks.reduce((a, b) => (b.areaMm2 < a.areaMm2 ? b : a));
  const ids = [...drawing.leads.keys()];
  const onEdge = new Set(outside.halfEdges.map((half) => ids[clean.givenAs[half >> 1]!]!));
  const leads = [...drawing.leads].flatMap(([id, lead]): [string, DrawnLead][] => {
    const kind: LeadKind =
      onEdge.has(id) && lead.kind === 'came'
        ? 'outer'
        : !onEdge.has(id) && lead.kind === 'outer'
          ? 'came'
          : lead.kind;
    return kind === lead.kind ? [] : [[id, { ...lead, kind }]];
  });
  return leads.length === 0 ? drawing : changed(drawing, { leads });
}
