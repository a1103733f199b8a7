import type { CameProfile, LeadKind } from './net.js';

export interface CutRule {
  /** Of the heart where no profile was gauged. */
  readonly heartMm: number;
  /** Air between the edge of the glass and the heart. */
  readonly clearanceMm: number;
  readonly profiles: readonly CameProfile[];
}

/**
 * How far inside a lead's centre line the glass beside it is cut. Negative where it reaches beyond:
 * in an outer `U` came it goes up to the back, which lies at the outer edge of the face.
 *
 * Plane geometry: half the heart of an `H`; back less half the face of a `U`; nothing of foil, whose
 * thickness (0.03 to 0.04 mm) is below any cutting; each with the clearance.
 */
export function cutInset(
  lead: { readonly kind: LeadKind; readonly faceWidthMm: number; readonly profile?: string | null },
  { heartMm, clearanceMm, profiles }: CutRule,
): number {
  if (lead.kind === 'foil') return clearanceMm;
  const profile = profiles.find(({ name }) => name === lead.profile);
  if (profile === undefined) return heartMm / 2 + clearanceMm;
  if (profile.shape === 'U' && lead.kind === 'outer') {
    return profile.heartMm - lead.faceWidthMm / 2 + clearanceMm;
  }
  return profile.heartMm / 2 + clearanceMm;
}
