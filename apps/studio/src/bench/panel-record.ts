import { sayMedia } from '../platform/api/media.js';
import { sayReasons } from '../platform/say-doubt.js';
import type { PanelRecord } from './next-act.js';
import type { Bench } from './use-bench.js';

/** What the next act is worked out from. */
export function panelRecord({ panel, pieces, findings, net, traced }: Bench): PanelRecord {
  const laid = new Set(panel.placements.map((placement) => placement.mediaId));
  const unlaid = panel.media.find(
    (media) => media.kind === 'photograph' && !laid.has(media.mediaId),
  );
  const refusals = panel.rubbings.flatMap((rubbing) =>
    'notRubbedBecause' in rubbing.conditions ? [rubbing.conditions.notRubbedBecause] : [],
  );
  return {
    pictures: panel.media.filter((media) => media.kind !== 'document').length,
    rubbingsTaken: panel.rubbings.length - refusals.length,
    notRubbedBecause: refusals.at(-1) ?? null,
    rubbingPictures: panel.media.filter((media) => media.kind === 'rubbing').length,
    netRevision: panel.netRevision,
    signedRevision: panel.signedRevision,
    doubtfulPlaces: traced ? 0 : doubtCount(net),
    provisionalPieces: pieces.filter((piece) => piece.provisional && !piece.carriedTo).length,
    unlaid: unlaid ? { mediaId: unlaid.mediaId, words: sayMedia(unlaid) } : null,
    findings: findings.filter((finding) => finding.state === 'recorded').length,
  };
}

/** Doubtful leads and doubtful places that belong to no such lead. */
export function doubtCount(net: Bench['net']): number {
  return doubtsOf(net).length;
}

export interface Doubt {
  readonly key: string;
  readonly words: string;
  readonly xyMm: readonly [number, number];
  readonly leadId: string | null;
}

export function doubtsOf(net: Bench['net']): readonly Doubt[] {
  const placed = new Set(net.doubtfulPlaces.map((place) => place.leadId));
  return [
    ...net.doubtfulPlaces.map((place, index) => ({
      key: String(index),
      words: `${place.leadId ? `${place.leadId}: ` : ''}${sayReasons([place.reason])}`,
      xyMm: place.xyMm,
      leadId: place.leadId,
    })),
    ...net.leads
      .filter((lead) => lead.doubts.length > 0 && !placed.has(lead.leadId))
      .map((lead) => ({
        key: lead.leadId,
        words: `${lead.leadId}: ${sayReasons(lead.doubts)}`,
        xyMm: lead.lineMm[Math.floor(lead.lineMm.length / 2)] ?? [0, 0],
        leadId: lead.leadId,
      })),
  ];
}
