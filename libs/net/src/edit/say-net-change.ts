/** What differs between two revisions of one drawing, in one sentence and as lists to be drawn. */
import { diffNets } from '../diff-nets.js';
import type { LeadKind, Net, NetLead, NetPiece, XyMm } from '../net.js';
import { compareNames } from '../number-pieces.js';
import { overlapsOf } from '../overlap.js';
import { distanceMm, isInsideRing, polylineLengthMm, resampleMm } from '../ring.js';
import { middleOf } from './cut.js';
import { nearestOnLine } from './lead-shape.js';

export interface LeadMove {
  readonly beforeLeadId: string;
  readonly afterLeadId: string;
  /** Largest distance between the two lines, and where on the later one. */
  readonly maxMm: number;
  readonly atMm: XyMm;
}

export interface LeadCome {
  readonly leadId: string;
  readonly kind: LeadKind;
  readonly lengthMm: number;
  readonly atMm: XyMm;
  /** Pieces of the earlier drawing that it lies in or lay between. */
  readonly pieceIds: readonly string[];
}

export interface NetChange {
  /** '2 leads moved ≤ 0.8 mm, 1 mending lead added in 17' */
  readonly sentence: string;
  readonly moved: readonly LeadMove[];
  readonly added: readonly LeadCome[];
  readonly erased: readonly LeadCome[];
  readonly widths: readonly { leadId: string; beforeMm: number; afterMm: number }[];
  readonly kinds: readonly { leadId: string; before: LeadKind; after: LeadKind }[];
  readonly profiles: readonly { leadId: string; before: string | null; after: string | null }[];
  /** The same glass under another number. */
  readonly renumbered: readonly { before: string; after: string }[];
  /** A piece that a person made parts of: 17 is 17a and 17b. */
  readonly lettered: readonly { before: string; after: readonly string[] }[];
  /** An earlier piece that is several now, under whatever numbers. */
  readonly divided: readonly { before: string; after: readonly string[] }[];
  /** Leads and places that were in doubt and are no more. */
  readonly doubtsAnswered: number;
}

/** Stored lines are fitted to 0.15 mm; a person's smallest step is 0.1 mm. */
const MOVED_MM = 0.05;
const WIDTH_MM = 0.05;
/** A lead that went farther, and did not keep its id, is another lead; half a wide came. */
const REACH_MM = 4;
/** So much of either is in the other: the same glass, or a part of it. */
const SAME_GLASS_RATIO = 0.8;

/**
 * Compares two drawings of one panel in the same frame. Leads that were only cut or healed at a joint
 * count as unchanged.
 *
 * @throws {NetError} `bad-option` when the drawings show different faces or layers
 */
export function sayNetChange(before: Net, after: Net): NetChange {
  const diff = diffNets(before, after, { reachMm: REACH_MM, toleranceMm: MOVED_MM });
  const beforeLeads = new Map(before.leads.map((lead) => [lead.leadId, lead]));
  const afterLeads = new Map(after.leads.map((lead) => [lead.leadId, lead]));
  const pairs = new Map(diff.shifts.map((shift) => [shift.beforeLeadId, shift.afterLeadId]));
  const goneIds = new Set(diff.removed.map(({ leadId }) => leadId));
  const newIds = new Set(diff.added.map(({ leadId }) => leadId));
  for (const id of goneIds) {
    // Numbering found it again farther off than the comparison looked.
    if (!afterLeads.has(id)) continue;
    pairs.set(id, id);
    goneIds.delete(id);
    newIds.delete(id);
  }
  const matched = [...pairs].map(([from, to]) => ({
    was: beforeLeads.get(from)!,
    is: afterLeads.get(to)!,
  }));
  const shifted = new Map(diff.shifts.map((shift) => [shift.beforeLeadId, shift]));
  const moved = matched.flatMap(({ was, is }): LeadMove[] => {
    // Cut or healed leads differ in length: only what runs along is compared.
    const sameEnds = was.leadId === is.leadId && hasSameExtent(was, is);
    const shift = shifted.get(was.leadId);
    const far =
      sameEnds || shift === undefined
        ? farthest(was, is)
        : { maxMm: shift.maxMm, atMm: shift.atMm };
    return far.maxMm > MOVED_MM
      ? [{ beforeLeadId: was.leadId, afterLeadId: is.leadId, ...far }]
      : [];
  });
  const added = [...newIds].map((id) => come(afterLeads.get(id)!, before));
  const erased = [...goneIds].map((id) => {
    const lead = beforeLeads.get(id)!;
    const beside = [lead.leftPieceId, lead.rightPieceId].filter((piece) => piece !== null);
    return { ...come(lead, before), pieceIds: [...new Set(beside)] };
  });
  const widths = matched.flatMap(({ was, is }) =>
    Math.abs(is.faceWidthMm - was.faceWidthMm) > WIDTH_MM && was.leadId === is.leadId
      ? [{ leadId: is.leadId, beforeMm: was.faceWidthMm, afterMm: is.faceWidthMm }]
      : [],
  );
  const kinds = matched.flatMap(({ was, is }) =>
    is.kind === was.kind ? [] : [{ leadId: is.leadId, before: was.kind, after: is.kind }],
  );
  const profiles = matched.flatMap(({ was, is }) =>
    is.profile === was.profile
      ? []
      : [{ leadId: is.leadId, before: was.profile, after: is.profile }],
  );
  const { renumbered, lettered, divided } = numberChanges(before, after);
  const change = {
    moved,
    added,
    erased,
    widths,
    kinds,
    profiles,
    renumbered,
    lettered,
    divided,
    doubtsAnswered: Math.max(0, doubtCount(before) - doubtCount(after)),
  };
  return { sentence: sentence(change), ...change };
}

function numberChanges(
  before: Net,
  after: Net,
): Pick<NetChange, 'renumbered' | 'lettered' | 'divided'> {
  const renumbered: { before: string; after: string }[] = [];
  const parts = new Map<string, NetPiece[]>();
  for (const pair of overlapsOf(before.pieces, after.pieces)) {
    const was = before.pieces[pair.before]!;
    const is = after.pieces[pair.after]!;
    if (pair.iou >= SAME_GLASS_RATIO) {
      if (was.pieceId !== is.pieceId) renumbered.push({ before: was.pieceId, after: is.pieceId });
    } else if (pair.ofAfter >= SAME_GLASS_RATIO) {
      parts.set(was.pieceId, [...(parts.get(was.pieceId) ?? []), is]);
    }
  }
  const divided = [...parts]
    .filter(([, pieces]) => pieces.length > 1)
    .map(([id, pieces]) => ({ before: id, pieces }));
  const named = ({ before: id, pieces }: { before: string; pieces: NetPiece[] }) => ({
    before: id,
    after: pieces.map(({ pieceId }) => pieceId).sort(compareNames),
  });
  return {
    renumbered,
    lettered: divided
      .filter(({ before: id, pieces }) =>
        pieces.every(({ number, part }) => part !== null && number === Number.parseInt(id, 10)),
      )
      .map(named),
    divided: divided.map(named),
  };
}

/** Doubtful leads, and doubtful places that belong to none of them. */
function doubtCount(net: Net): number {
  const leads = new Set(
    net.leads.filter(({ doubts }) => doubts.length > 0).map(({ leadId }) => leadId),
  );
  const places = net.doubtfulPlaces.filter(({ leadId }) => leadId === null || !leads.has(leadId));
  return leads.size + places.length;
}

/** Largest distance of either line from the other, ends included. */
function farthest(was: NetLead, is: NetLead): { maxMm: number; atMm: XyMm } {
  let maxMm = 0;
  let atMm = middleOf(is);
  for (const [line, other] of [
    [was.lineMm, is.lineMm],
    [is.lineMm, was.lineMm],
  ] as const) {
    for (const place of [...line, ...resampleMm(line, 1)]) {
      const { offMm, xyMm } = nearestOnLine(other, place);
      if (offMm > maxMm) {
        maxMm = offMm;
        atMm = other === is.lineMm ? xyMm : place;
      }
    }
  }
  return { maxMm, atMm };
}

/** Neither is a part of the other: their lengths, and each end with an end, agree roughly. */
function hasSameExtent(was: NetLead, is: NetLead): boolean {
  const [a, b] = [was.lineMm[0]!, was.lineMm[was.lineMm.length - 1]!];
  const [c, d] = [is.lineMm[0]!, is.lineMm[is.lineMm.length - 1]!];
  const apart = Math.min(
    Math.max(distanceMm(a, c), distanceMm(b, d)),
    Math.max(distanceMm(a, d), distanceMm(b, c)),
  );
  return apart <= 0.35 * polylineLengthMm(was.lineMm);
}

function come(lead: NetLead, before: Net): LeadCome {
  const atMm = middleOf(lead);
  const piece = before.pieces.find(({ centreRingMm }) => isInsideRing(atMm, centreRingMm));
  return {
    leadId: lead.leadId,
    kind: lead.kind,
    lengthMm: polylineLengthMm(lead.lineMm),
    atMm,
    pieceIds: piece === undefined ? [] : [piece.pieceId],
  };
}

/** What each kind of lead is called in a sentence. */
export const leadKindWords: Readonly<Record<LeadKind, string>> = {
  came: 'lead',
  outer: 'outer lead',
  mending: 'mending lead',
  strap: 'strap lead',
  foil: 'foil joint',
  broken: 'broken lead',
};
/** More names than this are no help in a sentence. */
const MOST_NAMES = 3;

function sentence(change: Omit<NetChange, 'sentence'>): string {
  const parts: string[] = [];
  const { moved, widths, kinds, profiles, renumbered, lettered, doubtsAnswered } = change;
  if (moved.length > 0) {
    const most = Math.max(...moved.map(({ maxMm }) => maxMm));
    parts.push(`${count(moved.length, 'lead')} moved ≤ ${upTo(most)} mm`);
  }
  for (const [kind, leads] of byKind(change.added)) {
    parts.push(`${count(leads.length, leadKindWords[kind])} added${where('in', leads)}`);
  }
  for (const [kind, leads] of byKind(change.erased)) {
    parts.push(`${count(leads.length, leadKindWords[kind])} erased${where('at', leads)}`);
  }
  if (widths.length > 0) parts.push(`${count(widths.length, 'lead')} of another width`);
  for (const kind of new Set(kinds.map(({ after }) => after))) {
    const made = kinds.filter(({ after }) => after === kind).length;
    parts.push(
      made === 1
        ? `1 lead called ${a(leadKindWords[kind])}`
        : `${made} leads called ${leadKindWords[kind]}s`,
    );
  }
  for (const profile of new Set(profiles.map(({ after }) => after))) {
    const leads = count(profiles.filter(({ after }) => after === profile).length, 'lead');
    parts.push(
      profile === null ? `profile taken back on ${leads}` : `profile ${profile} on ${leads}`,
    );
  }
  if (renumbered.length > 0) {
    const said = renumbered.slice(0, MOST_NAMES).map((pair) => `${pair.before} is ${pair.after}`);
    parts.push(names(said, renumbered.length - said.length));
  }
  for (const { before, after } of lettered) parts.push(`${before} is ${names(after, 0)}`);
  if (doubtsAnswered > 0) parts.push(`${count(doubtsAnswered, 'doubt')} answered`);
  return parts.length === 0 ? 'nothing changed' : parts.join(', ');
}

function byKind(leads: readonly LeadCome[]): Map<LeadKind, LeadCome[]> {
  const groups = new Map<LeadKind, LeadCome[]>();
  for (const lead of leads) groups.set(lead.kind, [...(groups.get(lead.kind) ?? []), lead]);
  return groups;
}

function where(word: string, leads: readonly LeadCome[]): string {
  const all = [...new Set(leads.flatMap(({ pieceIds }) => pieceIds))];
  return all.length === 0
    ? ''
    : ` ${word} ${names(all.slice(0, MOST_NAMES), Math.max(0, all.length - MOST_NAMES))}`;
}

function names(some: readonly string[], more: number): string {
  if (more > 0) return `${some.join(', ')} and ${more} more`;
  return some.length < 2 ? some.join('') : `${some.slice(0, -1).join(', ')} and ${some.at(-1)!}`;
}

const a = (word: string) => `${/^[aeiou]/.test(word) ? 'an' : 'a'} ${word}`;
const count = (n: number, what: string) => `${n} ${what}${n === 1 ? '' : 's'}`;
/** Rounded upwards, so that ≤ is true. */
const upTo = (mm: number) => (Math.ceil(mm * 10 - 1e-6) / 10).toFixed(1);
