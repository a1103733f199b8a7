/** Which leads may be copper foil: narrow and even, and all alike. */
import type { Net } from '../net.js';

export interface FoilProposal {
  readonly widthClassMm: number;
  /** How likely the class is foil: a proposal, the kind is set by a person. */
  readonly foilP: number;
  readonly leadIds: readonly string[];
}

/**
 * One row for each width class of leads that are drawn as came.
 *
 * A foiled seam shows 2 to 5 mm (foil of 4.8 to 7.9 mm folded round glass of 3 mm: common sizes,
 * geometry), drawn came 4 mm and more. Narrow, even and most of the panel's lead speaks for foil.
 * The weights are ours, fitted to nothing.
 */
export function foilProposals(net: Net): FoilProposal[] {
  const inner = net.leads.filter(({ kind }) => kind === 'came');
  const groups = new Map<number, typeof inner>();
  for (const lead of inner) {
    groups.set(lead.widthClassMm, [...(groups.get(lead.widthClassMm) ?? []), lead]);
  }
  return [...groups]
    .map(([widthClassMm, leads]): FoilProposal => {
      const spread = leads.reduce((sum, lead) => sum + lead.widthSpreadMm, 0) / leads.length;
      const share = leads.length / inner.length;
      const score = (4.1 - widthClassMm) / 0.3 + (0.3 - spread) / 0.2 + (share - 0.8) / 0.2;
      const foilP = 1 / (1 + Math.exp(-score));
      return {
        widthClassMm,
        foilP: Math.round(foilP * 1000) / 1000,
        leadIds: leads.map((lead) => lead.leadId),
      };
    })
    .sort((a, b) => a.widthClassMm - b.widthClassMm);
}
