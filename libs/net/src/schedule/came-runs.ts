/** Cames as they are cut: through joints, as long as one length of came goes on. */
import type { LeadKind, Net, NetLead, XyMm } from '../net.js';
import { pointAlongMm, polylineLengthMm } from '../ring.js';

export interface CameRun {
  /** 'R1' …, in the order of the net's leads. */
  readonly runId: string;
  /** In the order of the run. */
  readonly leadIds: readonly string[];
  readonly kind: LeadKind;
  readonly widthClassMm: number;
  readonly profile: string | null;
  /** Along centre lines, joint to joint: what butts against another came is cut shorter. */
  readonly lengthMm: number;
}

/** How far a run may turn at a joint of three or more leads, and at a bend of one lead. */
const THROUGH_DEG = 35;
const BEND_DEG = 60;
/** Where the direction of a lead is taken, away from the solder. */
const TANGENT_MM = 4;

/**
 * Cames as they would be cut: at each joint the two ends that go most nearly straight on, with the
 * same kind, width class and profile, are one length. Common practice, no source.
 */
export function cameRuns(net: Net): CameRun[] {
  const next = new Map<string, { lead: NetLead; end: End }>();
  const key = (leadId: string, end: End) => `${leadId}/${end}`;
  const endsAt = new Map<string, { lead: NetLead; end: End }[]>();
  const meet = (jointId: string, lead: NetLead, end: End) =>
    endsAt.set(jointId, [...(endsAt.get(jointId) ?? []), { lead, end }]);
  for (const lead of net.leads) {
    meet(lead.fromJointId, lead, 'from');
    meet(lead.toJointId, lead, 'to');
  }
  for (const { jointId, degree } of net.joints) {
    const ends = endsAt.get(jointId) ?? [];
    const limit = degree === 2 ? BEND_DEG : THROUGH_DEG;
    const pairs = ends
      .flatMap((a, i) => ends.slice(i + 1).map((b) => ({ a, b, turnDeg: turnDeg(a, b) })))
      .filter(({ a, b, turnDeg: turn }) => turn <= limit && isSameCame(a.lead, b.lead))
      .sort((p, q) => p.turnDeg - q.turnDeg);
    const used = new Set<object>();
    for (const { a, b } of pairs) {
      if (used.has(a) || used.has(b)) continue;
      used.add(a).add(b);
      next.set(key(a.lead.leadId, a.end), b);
      next.set(key(b.lead.leadId, b.end), a);
    }
  }
  const done = new Set<string>();
  let count = 0;
  return net.leads.flatMap((lead): CameRun[] => {
    if (done.has(lead.leadId)) return [];
    // Back to the start of the run (or once round a closed one), then forwards.
    let head: { lead: NetLead; end: End } = { lead, end: 'from' };
    for (;;) {
      const before = next.get(key(head.lead.leadId, head.end));
      if (before === undefined || before.lead === lead) break;
      head = { lead: before.lead, end: other(before.end) };
    }
    const leads: NetLead[] = [];
    let at: { lead: NetLead; end: End } | undefined = head;
    while (at !== undefined && !done.has(at.lead.leadId)) {
      done.add(at.lead.leadId);
      leads.push(at.lead);
      at = next.get(key(at.lead.leadId, other(at.end)));
    }
    const { kind, widthClassMm, profile } = lead;
    const lengthMm = leads.reduce((sum, one) => sum + polylineLengthMm(one.lineMm), 0);
    const runId = `R${++count}`;
    const leadIds = leads.map((one) => one.leadId);
    return [{ runId, leadIds, kind, widthClassMm, profile, lengthMm }];
  });
}

type End = 'from' | 'to';

function other(end: End): End {
  return end === 'from' ? 'to' : 'from';
}

function isSameCame(a: NetLead, b: NetLead): boolean {
  return a.kind === b.kind && a.widthClassMm === b.widthClassMm && a.profile === b.profile;
}

function turnDeg(a: { lead: NetLead; end: End }, b: { lead: NetLead; end: End }): number {
  const [ax, ay] = direction(a.lead.lineMm, a.end);
  const [bx, by] = direction(b.lead.lineMm, b.end);
  // Both point away from the joint: straight on is when they are opposite.
  const cos = -(ax * bx + ay * by) / (Math.hypot(ax, ay) * Math.hypot(bx, by));
  return (Math.acos(Math.min(1, Math.max(-1, cos))) * 180) / Math.PI;
}

function direction(line: readonly XyMm[], end: End): XyMm {
  const fromEnd = end === 'from' ? line : line.toReversed();
  const start = fromEnd[0]!;
  const away = pointAlongMm(fromEnd, Math.min(TANGENT_MM, polylineLengthMm(line)));
  return [away[0] - start[0], away[1] - start[1]];
}
