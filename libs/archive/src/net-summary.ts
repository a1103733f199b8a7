/** A lead drawing in a few numbers, and what differs between two, for rows and entries. */
import { type Net, type NetChange, polylineLengthMm, sayNetChange } from '#libs/net';

export interface NetSummary {
  pieces: number;
  leads: number;
  joints: number;
  lengthMm: number;
  areaMm2: number;
  rmsMm: number | null;
  worstMark: string | null;
  /** places in doubt */
  doubtful: number;
  doubtfulLeads: number;
}

export function netSummary(net: Net): NetSummary {
  const tenth = (value: number) => Math.round(value * 10) / 10;
  return {
    pieces: net.pieces.length,
    leads: net.leads.length,
    joints: net.joints.length,
    lengthMm: tenth(net.leads.reduce((sum, lead) => sum + polylineLengthMm(lead.lineMm), 0)),
    areaMm2: tenth(net.pieces.reduce((sum, piece) => sum + piece.areaMm2, 0)),
    rmsMm: net.flatten?.rmsMm ?? null,
    worstMark: net.flatten?.worstMark ?? null,
    doubtful: net.doubtfulPlaces.length,
    doubtfulLeads: net.leads.filter((lead) => lead.doubts.length > 0).length,
  };
}

/**
 * Two revisions of one layer, compared. Both lie in the panel's frame whichever face was rubbed, so
 * the face does not matter.
 */
export function netChange(before: Net, after: Net): NetChange {
  return sayNetChange({ ...before, face: after.face }, after);
}

export function changeSentence(before: Net, after: Net): string {
  return netChange(before, after).sentence;
}
