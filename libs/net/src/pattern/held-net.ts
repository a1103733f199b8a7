/** The same drawing with its inner leads as the pieces beside them are to be held: what is cut depends on it. */
import { buildNet } from '../build-net.js';
import type { CameProfile, Net } from '../net.js';
import { netSketch } from '../net-sketch.js';

/** `joint`: edge to edge on a carrier plate, with silicone between and no lead. */
export type SeamKind = 'came' | 'foil' | 'joint';

/** Section that stands for a joint: nothing but the silicone between two edges. */
export const JOINT_PROFILE = 'silicone joint';

/** Between two edges of glass; common practice, no source. */
const USUAL_JOINT_MM = 1.5;

/**
 * @param heldOf by number of the piece; pieces that are not named are held as they are drawn
 * @returns the net with cut sizes for it; a seam between two pieces that are held differently, and the
 *   panel's outer edge, stay as drawn
 */
export function heldNet(
  net: Net,
  heldOf: Readonly<Record<string, SeamKind>>,
  jointMm = USUAL_JOINT_MM,
): Net {
  const sketch = netSketch(net);
  const seamOf = ({ leftPieceId: left, rightPieceId: right }: Net['leads'][number]) =>
    left !== null && right !== null && heldOf[left] === heldOf[right] ? heldOf[left] : undefined;
  const leads = sketch.leads.map((lead, i) => {
    const seam = seamOf(net.leads[i]!);
    if (seam === undefined || (lead.kind !== 'came' && lead.kind !== 'foil')) return lead;
    if (seam === lead.kind) return lead;
    return seam === 'joint'
      ? { ...lead, kind: 'came' as const, profile: JOINT_PROFILE, faceWidthMm: jointMm }
      : { ...lead, kind: seam, profile: null };
  });
  if (leads.every((lead, i) => lead === sketch.leads[i])) return net;
  const joint: CameProfile = {
    name: JOINT_PROFILE,
    shape: 'H',
    leaf: 'flat',
    faceMm: jointMm,
    leafMm: 0,
    heartHeightMm: 0,
    // The clearance is air at a heart; at a joint the silicone fills it.
    heartMm: Math.max(0, jointMm - 2 * net.clearanceMm),
  };
  const { face, layer, surface, heartMm, clearanceMm, flatten, madeBy } = net;
  return buildNet(
    { nodes: sketch.nodes, leads },
    {
      face,
      layer,
      surface,
      heartMm,
      clearanceMm,
      flatten,
      madeBy,
      profiles: [...(net.profiles ?? []), joint],
      numbering: { earlier: net },
    },
  );
}
