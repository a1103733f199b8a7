/** What came the bench needs: cut runs through joints, metres by width class and profile. */
import type { LeadKind, Net, NetLead, XyMm } from './net.js';
import { boundsMm, pointAlongMm, polylineLengthMm } from './ring.js';

export interface CameRun {
  /** In the order of the run. */
  readonly leadIds: readonly string[];
  readonly kind: LeadKind;
  readonly widthClassMm: number;
  readonly profile: string | null;
  /** Along centre lines, joint to joint: what butts against another came is cut shorter. */
  readonly lengthMm: number;
}

export interface CameNeed {
  readonly kind: LeadKind;
  readonly widthClassMm: number;
  readonly profile: string | null;
  readonly runs: number;
  readonly longestMm: number;
  readonly lengthMm: number;
  readonly grossMm: number;
  readonly sticks: number;
}

export interface ScheduleOptions {
  /** Share added for offcuts; 0.1 (common practice, no source). */
  readonly wasteRatio?: number;
  /** Length that came is sold in; 2000 mm (trade glossary; other trades sell 6 ft). */
  readonly stickMm?: number;
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
  for (const { jointId, degree } of net.joints) {
    const ends = net.leads.flatMap((lead) => [
      ...(lead.fromJointId === jointId ? [{ lead, end: 'from' as const }] : []),
      ...(lead.toJointId === jointId ? [{ lead, end: 'to' as const }] : []),
    ]);
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
    return [{ leadIds: leads.map((one) => one.leadId), kind, widthClassMm, profile, lengthMm }];
  });
}

/** Metres by kind, width class and profile, with waste and sticks. */
export function cameNeeds(net: Net, options: ScheduleOptions = {}): CameNeed[] {
  const groups = new Map<string, CameRun[]>();
  for (const run of cameRuns(net)) {
    const name = [run.kind, run.widthClassMm, run.profile ?? ''].join('/');
    groups.set(name, [...(groups.get(name) ?? []), run]);
  }
  return [...groups.values()]
    .map((runs): CameNeed => {
      const { kind, widthClassMm, profile } = runs[0]!;
      const lengthMm = runs.reduce((sum, run) => sum + run.lengthMm, 0);
      return {
        kind,
        widthClassMm,
        profile,
        runs: runs.length,
        longestMm: Math.max(...runs.map((run) => run.lengthMm)),
        lengthMm,
        ...withWaste(lengthMm, options),
      };
    })
    .sort((a, b) => a.widthClassMm - b.widthClassMm || (a.kind < b.kind ? -1 : 1));
}

/** Length to buy for a net length, and how many sticks that is. */
export function withWaste(
  lengthMm: number,
  { wasteRatio = 0.1, stickMm = 2000 }: ScheduleOptions = {},
): { grossMm: number; sticks: number } {
  const grossMm = lengthMm * (1 + wasteRatio);
  // A stick is not opened for the last micrometre of rounding.
  return { grossMm, sticks: Math.ceil(grossMm / stickMm - 1e-9) };
}

/** Joints that are soldered: where three or more leads meet. */
export function solderJointCount(net: Net): number {
  return net.joints.filter((joint) => joint.degree >= 3).length;
}

/**
 * Came schedule, then the pieces, as CSV (RFC 4180: comma, quotes, CRLF); a blank line between the
 * two tables. Profiles that nobody has gauged say so.
 */
export function scheduleCsv(net: Net, options: ScheduleOptions = {}): string {
  const waste = Math.round((options.wasteRatio ?? 0.1) * 100);
  const stickM = ((options.stickMm ?? 2000) / 1000).toFixed(3);
  const rows: (string | number)[][] = [
    [
      'kind',
      'width class mm',
      'profile',
      'came runs',
      'longest run mm',
      'length m',
      `length with ${waste} % waste m`,
      `sticks of ${stickM} m`,
    ],
    ...cameNeeds(net, options).map((need) => [
      need.kind,
      need.widthClassMm.toFixed(1),
      need.profile ?? 'not measured',
      need.runs,
      Math.round(need.longestMm),
      (need.lengthMm / 1000).toFixed(3),
      (need.grossMm / 1000).toFixed(3),
      need.sticks,
    ]),
    ['soldered joints', solderJointCount(net)],
    [],
    [
      'piece',
      'cut width mm',
      'cut height mm',
      'sight width mm',
      'sight height mm',
      'sight area cm2',
      'area to centre lines cm2',
      'leads',
    ],
    ...net.pieces.map((piece) => [
      piece.pieceId,
      ...sizeMm(piece.cutRingMm),
      ...sizeMm(piece.sightRingsMm.flat()),
      (piece.sightAreaMm2 / 100).toFixed(1),
      (piece.areaMm2 / 100).toFixed(1),
      piece.leadIds.length,
    ]),
  ];
  return rows.map((row) => `${row.map(csvField).join(',')}\r\n`).join('');
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

/** Glass sizes go to half a millimetre, never finer than a rubbing measures. */
function sizeMm(points: readonly XyMm[]): [string, string] {
  if (points.length === 0) return ['', ''];
  const { minX, maxX, minY, maxY } = boundsMm(points);
  const half = (value: number) => (Math.round(value * 2) / 2).toFixed(1);
  return [half(maxX - minX), half(maxY - minY)];
}

function csvField(value: string | number): string {
  const text = String(value);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
