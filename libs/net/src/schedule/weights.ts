/** Weights of glass, came and solder of a panel, each with what it was reckoned from. */
import type { CameProfile, Net, NetLead } from '../net.js';
import { polylineLengthMm, ringAreaMm2 } from '../ring.js';

/** Soda-lime glass: 2500 kg/m³. Source: EN 572-1 (from memory). */
export const GLASS_G_CM3 = 2.5;
/** Pure lead, handbook value (from memory); restoration alloys within 1 %. */
export const LEAD_G_CM3 = 11.34;
/** Tin-lead solder 60/40 (from memory). */
export const SOLDER_G_CM3 = 8.5;
/** Common practice, no source. */
export const USUAL_GLASS_MM = 3;

/** A leaf and heart for lead that nobody has gauged: common practice, no source. */
const USUAL = { leafMm: 1, heartHeightMm: 4.8 };
/** Edge of a round leaf. Common practice, no source. */
const ROUND_EDGE_MM = 0.3;

export interface GlassLayers {
  /** Thickness of each glass in the piece; a plated piece has two or more. Default 3 mm, one. */
  readonly layersMm?: readonly number[];
  readonly densityGCm3?: number;
}

/**
 * Weight of a piece: its area as cut × the sum of its layers × density. Folded or slumped glass is
 * weighed, not reckoned.
 */
export function glassGrams(areaMm2: number, options: GlassLayers = {}): number {
  const { layersMm = [USUAL_GLASS_MM], densityGCm3 = GLASS_G_CM3 } = options;
  return (areaMm2 * layersMm.reduce((sum, mm) => sum + mm, 0) * densityGCm3) / 1000;
}

/**
 * Area of lead in a section, mm²: two leaves and the heart between them (of a `U` its back). A flat
 * leaf is a rectangle, a round one a segment of a circle on an edge.
 *
 * Source: plane geometry; the usual measures are common practice.
 */
export function sectionMm2(profile: Omit<CameProfile, 'name' | 'shape'>): number {
  const { leaf, faceMm, leafMm, heartHeightMm, heartMm } = profile;
  const heart = heartHeightMm * heartMm;
  if (leaf === 'flat') return 2 * faceMm * leafMm + heart;
  const edge = Math.min(profile.leafEdgeMm ?? ROUND_EDGE_MM, leafMm);
  const rise = leafMm - edge;
  if (rise === 0) return 2 * faceMm * edge + heart;
  const radius = (faceMm ** 2 / 4 + rise ** 2) / (2 * rise);
  const angle = 2 * Math.asin(Math.min(1, faceMm / (2 * radius)));
  return 2 * ((radius ** 2 * (angle - Math.sin(angle))) / 2 + faceMm * edge) + heart;
}

export function leadGramsPerMetre(areaMm2: number): number {
  return areaMm2 * LEAD_G_CM3;
}

/** Section of a lead: as gauged, else a flat one of its width class with usual measures. */
function leadSection(
  lead: Pick<NetLead, 'kind' | 'profile' | 'widthClassMm'>,
  net: Pick<Net, 'profiles' | 'heartMm'>,
): { areaMm2: number; isGauged: boolean } {
  if (lead.kind === 'foil') return { areaMm2: 0, isGauged: false };
  const profile = net.profiles?.find(({ name }) => name === lead.profile);
  const usual = {
    leaf: 'flat' as const,
    faceMm: lead.widthClassMm,
    heartMm: net.heartMm,
    ...USUAL,
  };
  const section = profile ?? usual;
  // A strap is one leaf laid on one face.
  if (lead.kind === 'strap') {
    return { areaMm2: section.faceMm * section.leafMm, isGauged: profile !== undefined };
  }
  return { areaMm2: sectionMm2(section), isGauged: profile !== undefined };
}

/** Weight of a lead: its section × its length along the centre line × density. */
export function leadWeight(
  lead: Pick<NetLead, 'kind' | 'profile' | 'widthClassMm' | 'lineMm'>,
  net: Pick<Net, 'profiles' | 'heartMm'>,
): { grams: number; lengthMm: number; isGauged: boolean } {
  const lengthMm = polylineLengthMm(lead.lineMm);
  const { areaMm2, isGauged } = leadSection(lead, net);
  return { grams: (leadGramsPerMetre(areaMm2) * lengthMm) / 1000, lengthMm, isGauged };
}

export interface SolderOptions {
  /** Patch over a joint, on each face: a disc of this many times the widest face there. */
  readonly patchRatio?: number;
  /** Mean height of solder over the lead, or of a bead along foil. */
  readonly heightMm?: number;
  readonly faces?: 1 | 2;
}

export interface SolderEstimate {
  readonly joints: number;
  readonly foilMm: number;
  readonly grams: number;
  readonly formula: string;
}

/**
 * Solder of all joints where three or more leads meet, both faces, and of the seams of copper foil.
 *
 * An estimate by a formula of our own (no source): for a joint a disc of patchRatio × the widest
 * face × height, for foil a bead of 2/3 × face × height along it; × faces × 8.5 g/cm³.
 */
export function solderEstimate(net: Net, options: SolderOptions = {}): SolderEstimate {
  const { patchRatio = 1.25, heightMm = 0.8, faces = 2 } = options;
  const widest = new Map<string, number>();
  let foilMm = 0;
  let volumeMm3 = 0;
  for (const lead of net.leads) {
    for (const jointId of [lead.fromJointId, lead.toJointId]) {
      widest.set(jointId, Math.max(widest.get(jointId) ?? 0, lead.faceWidthMm));
    }
    if (lead.kind !== 'foil') continue;
    const lengthMm = polylineLengthMm(lead.lineMm);
    foilMm += lengthMm;
    volumeMm3 += (2 / 3) * lead.faceWidthMm * heightMm * lengthMm * faces;
  }
  const soldered = net.joints.filter(({ degree }) => degree >= 3);
  for (const { jointId } of soldered) {
    const across = patchRatio * widest.get(jointId)!;
    volumeMm3 += (Math.PI / 4) * across ** 2 * heightMm * faces;
  }
  return {
    joints: soldered.length,
    foilMm,
    grams: (volumeMm3 * SOLDER_G_CM3) / 1000,
    formula:
      `estimate, own formula: at each joint of 3 or more leads a disc of ${patchRatio} × the widest face, ` +
      `${heightMm} mm high, on ${faces === 2 ? 'both faces' : 'one face'}; along foil a bead of 2/3 × face × ${heightMm} mm; ${SOLDER_G_CM3} g/cm³ (60/40, from memory)`,
  };
}

/** Area of the glass of a piece as cut; of one that leads cover wholly nothing. */
export function cutAreaMm2(cutRingMm: Net['pieces'][number]['cutRingMm']): number {
  return cutRingMm.length < 3 ? 0 : ringAreaMm2(cutRingMm);
}
