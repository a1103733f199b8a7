import type { Net, NetSketch } from './net.js';

/**
 * The nodes and curves of a net, to be edited and built again. Nodes and leads are in the order of
 * the net's joints and leads.
 */
export function netSketch(net: Net): NetSketch {
  const place = new Map(net.joints.map((joint, i) => [joint.jointId, i]));
  return {
    nodes: net.joints.map(({ xyMm }) => ({ xyMm })),
    leads: net.leads.map((lead) => ({
      from: place.get(lead.fromJointId)!,
      to: place.get(lead.toJointId)!,
      kind: lead.kind,
      lineMm: lead.lineMm,
      faceWidthMm: lead.faceWidthMm,
      widthSpreadMm: lead.widthSpreadMm,
      profile: lead.profile,
      confidenceP: lead.confidenceP,
      doubts: lead.doubts,
    })),
  };
}
