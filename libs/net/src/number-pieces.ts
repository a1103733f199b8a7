/**
 * Numbers of pieces, leads and joints: rows from the bottom, left to right; what an earlier drawing
 * of the same panel already numbered keeps its number, and no number is ever used again.
 */
import type { Net, NetJoint, NetLead, XyMm } from './net.js';
import { NetError } from './net-error.js';
import { type Overlap, overlapsOf, SAME_PIECE_RATIO } from './overlap.js';
import { boundsMm, distanceMm, isInsideRing, pointAlongMm, polylineLengthMm } from './ring.js';
import { inRows } from './rows.js';

export interface Numbering {
  /** The drawing whose numbers stand, in the same frame. */
  readonly earlier?: Net;
  /** A person's word: the piece at this place has this number. Goes before everything else. */
  readonly overrides?: readonly NumberOverride[];
  /** Numbers of pieces that are gone; never given again. */
  readonly retiredNumbers?: readonly number[];
}

export interface NumberOverride {
  readonly atMm: XyMm;
  readonly number: number;
  readonly part?: string | null;
}

export interface NumberedNet {
  readonly net: Net;
  /** Pieces that kept the number of the earlier drawing, by overlap. */
  readonly kept: readonly { pieceId: string; overlapRatio: number }[];
  readonly added: readonly string[];
  /** Pieces of the earlier drawing that found no successor. */
  readonly gone: readonly string[];
  /**
   * An earlier piece that is now several (a person decides whether they become 17a and 17b), or
   * several that are now one.
   */
  readonly splits: readonly { earlierPieceId: string; pieceIds: readonly string[] }[];
  readonly merges: readonly { earlierPieceIds: readonly string[]; pieceId: string }[];
}

/** A piece lies in another when this much of its own area does. */
const INSIDE_RATIO = 0.8;
const SAME_JOINT_MM = 6;
const SAME_LEAD_MM = 5;

/**
 * Numbers a net's pieces, leads and joints and writes the ids through all references.
 *
 * @throws {NetError} `bad-number` when an override names no piece, a bad number, or one twice
 */
export function numberPieces(
  net: Net,
  numbering: Numbering = {},
  /** For each lead whether its profile stands; of the others the earlier drawing's does. */
  profileStands: readonly boolean[] = [],
): NumberedNet {
  const { earlier, overrides = [], retiredNumbers = [] } = numbering;
  const names: ({ number: number; part: string | null } | undefined)[] = net.pieces.map(
    () => undefined,
  );
  const taken = new Set<string>();
  const give = (piece: number, number: number, part: string | null) => {
    names[piece] = { number, part };
    taken.add(pieceName(number, part));
  };
  for (const { atMm, number, part = null } of overrides) {
    if (!Number.isInteger(number) || number < 1 || (part !== null && !/^[a-z]{1,2}$/.test(part))) {
      throw new NetError('bad-number', `"${number}${part ?? ''}" is not a piece number`, atMm);
    }
    const piece = net.pieces.findIndex((one) => isInsideRing(atMm, one.centreRingMm));
    if (piece === -1) throw new NetError('bad-number', `no piece lies at the place given`, atMm);
    if (names[piece] !== undefined || taken.has(pieceName(number, part))) {
      throw new NetError('bad-number', `${pieceName(number, part)} is given twice`, atMm);
    }
    give(piece, number, part);
  }

  const overlaps = earlier === undefined ? [] : overlapsOf(earlier.pieces, net.pieces);
  const kept: { pieceId: string; overlapRatio: number }[] = [];
  const matchedEarlier = new Set<number>();
  for (const { before, after, iou } of overlaps.toSorted((a, b) => b.iou - a.iou)) {
    if (iou < SAME_PIECE_RATIO) break;
    const old = earlier!.pieces[before]!;
    if (matchedEarlier.has(before) || names[after] !== undefined || taken.has(old.pieceId)) {
      continue;
    }
    matchedEarlier.add(before);
    give(after, old.number, old.part);
    kept.push({ pieceId: old.pieceId, overlapRatio: Math.round(iou * 1000) / 1000 });
  }

  const used = [
    ...retiredNumbers,
    ...(earlier?.pieces.map((piece) => piece.number) ?? []),
    ...overrides.map(({ number }) => number),
  ];
  // With an earlier drawing new numbers go on after the highest; a first drawing fills from 1.
  const forbidden = new Set(used);
  let next = earlier === undefined ? 1 : Math.max(0, ...used) + 1;
  const added: number[] = [];
  const order = inRows(
    net.pieces.map((piece) => {
      const box = boundsMm(piece.centreRingMm);
      return { xyMm: piece.labelMm, heightMm: box.maxY - box.minY };
    }),
  );
  for (const piece of order) {
    if (names[piece] !== undefined) continue;
    while (forbidden.has(next)) next++;
    give(piece, next++, null);
    added.push(piece);
  }
  const idOf = (piece: number) => pieceName(names[piece]!.number, names[piece]!.part);

  const jointIds = keepOrCount(
    'J',
    net.joints.map((joint) => ({ xyMm: joint.xyMm, heightMm: 20 })),
    earlier?.joints.map((joint) => joint.jointId) ?? [],
    earlier === undefined ? [] : sameJoints(earlier.joints, net.joints),
  );
  const leadIds = keepOrCount(
    'L',
    net.leads.map((lead) => ({ xyMm: middle(lead), heightMm: 20 })),
    earlier?.leads.map((lead) => lead.leadId) ?? [],
    earlier === undefined ? [] : sameLeads(earlier.leads, net.leads),
  );
  // 17 that is now 17a and 17b is not gone.
  const numbersNow = new Set(names.map((name) => name!.number));
  const gone = (earlier?.pieces ?? [])
    .filter((piece) => !numbersNow.has(piece.number))
    .map((piece) => piece.pieceId);
  return {
    net: rename(
      net,
      names.map((_, i) => idOf(i)),
      names,
      leadIds,
      jointIds,
      new Map(earlier?.leads.map((one) => [one.leadId, one.profile])),
      profileStands,
    ),
    kept: kept.sort((a, b) => compareNames(a.pieceId, b.pieceId)),
    added: added.map(idOf),
    gone,
    ...changes(earlier, net, overlaps, idOf),
  };
}

/** '17' or '17a'. */
export function pieceName(number: number, part: string | null): string {
  return `${number}${part ?? ''}`;
}

/** Order of piece names: by number, then part. */
export function compareNames(a: string, b: string): number {
  return Number.parseInt(a, 10) - Number.parseInt(b, 10) || (a < b ? -1 : a > b ? 1 : 0);
}

function changes(
  earlier: Net | undefined,
  net: Net,
  overlaps: readonly Overlap[],
  idOf: (piece: number) => string,
): Pick<NumberedNet, 'splits' | 'merges'> {
  if (earlier === undefined) return { splits: [], merges: [] };
  const splits = earlier.pieces.flatMap((old, before) => {
    const parts = overlaps.filter((o) => o.before === before && o.ofAfter >= INSIDE_RATIO);
    return parts.length < 2
      ? []
      : [
          {
            earlierPieceId: old.pieceId,
            pieceIds: parts.map((o) => idOf(o.after)).sort(compareNames),
          },
        ];
  });
  const merges = net.pieces.flatMap((_, after) => {
    const parts = overlaps.filter((o) => o.after === after && o.ofBefore >= INSIDE_RATIO);
    return parts.length < 2
      ? []
      : [
          {
            earlierPieceIds: parts.map((o) => earlier.pieces[o.before]!.pieceId).sort(compareNames),
            pieceId: idOf(after),
          },
        ];
  });
  return { splits, merges };
}

/** Ids for a list: the matched keep theirs, the others count on after the highest, in rows. */
function keepOrCount(
  letter: 'J' | 'L',
  places: readonly { xyMm: XyMm; heightMm: number }[],
  earlierIds: readonly string[],
  matches: readonly (readonly [before: number, after: number])[],
): string[] {
  const ids: (string | undefined)[] = places.map(() => undefined);
  for (const [before, after] of matches) ids[after] = earlierIds[before]!;
  let next = Math.max(0, ...earlierIds.map((id) => Number(id.slice(1)))) + 1;
  for (const at of inRows(places)) ids[at] ??= `${letter}${next++}`;
  return ids.map((id) => id!);
}

function sameJoints(before: readonly NetJoint[], after: readonly NetJoint[]) {
  return mutual(before, after, SAME_JOINT_MM, (a, b) => distanceMm(a.xyMm, b.xyMm));
}

function sameLeads(before: readonly NetLead[], after: readonly NetLead[]) {
  const samples = (leads: readonly NetLead[]) =>
    leads.map(({ lineMm }) => {
      const length = polylineLengthMm(lineMm);
      return [0.1, 0.3, 0.5, 0.7, 0.9].map((t) => pointAlongMm(lineMm, t * length));
    });
  return mutual(samples(before), samples(after), SAME_LEAD_MM, (a, b) => {
    // a mean of five within the reach leaves no middle farther off than five times that
    const [p, q] = [a[2]!, b[2]!];
    const most = a.length * SAME_LEAD_MM;
    if (Math.abs(p[0] - q[0]) > most || Math.abs(p[1] - q[1]) > most) return Infinity;
    const forth = a.reduce((sum, p, i) => sum + distanceMm(p, b[i]!), 0);
    const back = a.reduce((sum, p, i) => sum + distanceMm(p, b[b.length - 1 - i]!), 0);
    return Math.min(forth, back) / a.length;
  });
}

/** Closest pairs first, each thing once, none farther than the reach. */
function mutual<T>(
  before: readonly T[],
  after: readonly T[],
  reachMm: number,
  distance: (a: T, b: T) => number,
): [before: number, after: number][] {
  const pairs: { i: number; j: number; d: number }[] = [];
  before.forEach((a, i) => {
    after.forEach((b, j) => {
      const d = distance(a, b);
      if (d <= reachMm) pairs.push({ i, j, d });
    });
  });
  pairs.sort((p, q) => p.d - q.d);
  const seenBefore = new Set<number>();
  const seenAfter = new Set<number>();
  return pairs.flatMap(({ i, j }): [number, number][] => {
    if (seenBefore.has(i) || seenAfter.has(j)) return [];
    seenBefore.add(i);
    seenAfter.add(j);
    return [[i, j]];
  });
}

function middle({ lineMm }: NetLead): XyMm {
  return pointAlongMm(lineMm, polylineLengthMm(lineMm) / 2);
}

function rename(
  net: Net,
  pieceIds: readonly string[],
  names: readonly ({ number: number; part: string | null } | undefined)[],
  leadIds: readonly string[],
  jointIds: readonly string[],
  /** What a gauge once said of a lead stays true of it. */
  profiles: ReadonlyMap<string, string | null>,
  profileStands: readonly boolean[],
): Net {
  const piece = new Map(net.pieces.map((one, i) => [one.pieceId, pieceIds[i]!]));
  const lead = new Map(net.leads.map((one, i) => [one.leadId, leadIds[i]!]));
  const joint = new Map(net.joints.map((one, i) => [one.jointId, jointIds[i]!]));
  const pieceOrNull = (id: string | null) => (id === null ? null : piece.get(id)!);
  return {
    ...net,
    joints: net.joints
      .map((one) => ({ ...one, jointId: joint.get(one.jointId)! }))
      .sort((a, b) => byCount(a.jointId, b.jointId)),
    leads: net.leads
      .map((one, i) => ({
        ...one,
        leadId: lead.get(one.leadId)!,
        profile: profileStands[i]
          ? one.profile
          : (one.profile ?? profiles.get(lead.get(one.leadId)!) ?? null),
        fromJointId: joint.get(one.fromJointId)!,
        toJointId: joint.get(one.toJointId)!,
        leftPieceId: pieceOrNull(one.leftPieceId),
        rightPieceId: pieceOrNull(one.rightPieceId),
      }))
      .sort((a, b) => byCount(a.leadId, b.leadId)),
    pieces: net.pieces
      .map((one, i) => ({
        ...one,
        pieceId: pieceIds[i]!,
        number: names[i]!.number,
        part: names[i]!.part,
        leadIds: one.leadIds.map((id) => lead.get(id)!).sort(byCount),
      }))
      .sort((a, b) => compareNames(a.pieceId, b.pieceId)),
    doubtfulPlaces: net.doubtfulPlaces.map((place) => ({
      ...place,
      leadId: place.leadId === null ? null : lead.get(place.leadId)!,
    })),
  };
}

function byCount(a: string, b: string): number {
  return Number(a.slice(1)) - Number(b.slice(1));
}
