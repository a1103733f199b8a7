/** What the lead drawings of panels hold together: lead by width, glass as cut, and what both weigh. */
import { cutAreaMm2, glassGrams, leadWeight, type Net } from '#libs/net';
import type { ObjectStore } from '#libs/objects';
import { getNet } from '../stored-json.js';

export interface DrawnParts {
  /** along centre lines, by face width to half a millimetre, the widest first */
  readonly leadByWidth: readonly { readonly widthMm: number; readonly metres: number }[];
  /** glass as cut, m² */
  readonly glassM2: number;
  /** by gauged profiles where there are some, else usual ones */
  readonly leadKg: number;
  /** one layer of 3 mm where nobody gauged it: common practice, no source */
  readonly glassKg: number;
}

/** So many drawings are read at once: one is some tens of kilobytes, a window has 150. */
const AT_ONCE = 8;

export async function drawnParts(
  objects: ObjectStore,
  digests: readonly string[],
): Promise<DrawnParts> {
  const byWidth = new Map<number, number>();
  let [glassMm2, leadGrams, glassG] = [0, 0, 0];
  const add = (net: Net) => {
    for (const lead of net.leads) {
      const { grams, lengthMm } = leadWeight(lead, net);
      const widthMm = Math.round(lead.widthClassMm * 2) / 2;
      byWidth.set(widthMm, (byWidth.get(widthMm) ?? 0) + lengthMm / 1000);
      leadGrams += grams;
    }
    for (const { cutRingMm } of net.pieces) {
      const areaMm2 = cutAreaMm2(cutRingMm);
      glassMm2 += areaMm2;
      glassG += glassGrams(areaMm2);
    }
  };
  for (let i = 0; i < digests.length; i += AT_ONCE) {
    const nets = await Promise.all(
      digests.slice(i, i + AT_ONCE).map((digest) => getNet(objects, digest)),
    );
    nets.forEach(add);
  }
  return {
    leadByWidth: [...byWidth]
      .map(([widthMm, metres]) => ({ widthMm, metres }))
      .sort((a, b) => b.widthMm - a.widthMm),
    glassM2: glassMm2 / 1e6,
    leadKg: leadGrams / 1000,
    glassKg: glassG / 1000,
  };
}
