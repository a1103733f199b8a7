/** Putting one person's edits on top of a newer revision that somebody else made meanwhile. */
import type { DoubtfulPlace, XyMm } from '../net.js';
import { mendJoints } from './cut.js';
import type { Drawing, DrawnLead } from './drawing.js';
import { carryEnds } from './lead-shape.js';

/**
 * Three-way: what a person changed since `base` wins, everything else is as in `newer`: of one lead, too, its run
 * may be mine and its width theirs. Things are the same when their ids are, and ids live on from revision to revision (number-pieces.ts). The answer need
 * not be a net: where both changed one place, {@link judgeDrawing} names it and the person decides.
 */
export function putOnTop(base: Drawing, mine: Drawing, newer: Drawing): Drawing {
  const leads = new Map<string, DrawnLead>();
  for (const [id, lead] of newer.leads) {
    const was = base.leads.get(id);
    const is = mine.leads.get(id);
    // Erased by me; theirs of another kind or width stays erased too: I looked at that lead.
    if (was !== undefined && is === undefined) continue;
    leads.set(id, is === undefined ? lead : was === undefined ? is : both(was, is, lead));
  }
  for (const [id, lead] of mine.leads) {
    const was = base.leads.get(id);
    if (!newer.leads.has(id) && !(was && sameLead(was, lead))) leads.set(id, lead);
  }
  const joints = new Map<string, XyMm>();
  for (const lead of leads.values()) {
    for (const id of [lead.from, lead.to]) joints.set(id, jointOf(id, base, mine, newer));
  }
  for (const [id, lead] of leads) leads.set(id, fitted(lead, joints));
  const places = new Map<string, DoubtfulPlace>();
  for (const [id, place] of newer.places) {
    const mineToo = findPlace(mine, place);
    if (findPlace(base, place) && !mineToo) continue;
    const onLead = place.leadId !== null && leads.has(place.leadId);
    places.set(id, onLead ? place : { ...place, leadId: null });
  }
  const merged: Drawing = { joints, leads, places, numbers: mine.numbers, made: mine.made };
  return mendJoints(merged, leftBetweenTwo(merged, newer));
}

/** Of a lead that all three have: what I changed as I have it, the rest as they have it. */
function both(was: DrawnLead, is: DrawnLead, theirs: DrawnLead): DrawnLead {
  const { from, to, lineMm, kind, faceWidthMm, widthSpreadMm, profile, confidenceP, doubts } = is;
  return {
    ...theirs,
    ...(sameRun(was, is) ? {} : { from, to, lineMm }),
    ...(was.kind === kind ? {} : { kind }),
    ...(was.faceWidthMm === faceWidthMm ? {} : { faceWidthMm, widthSpreadMm }),
    ...(was.profile === profile ? {} : { profile }),
    ...(sameDoubts(was, is) ? {} : { confidenceP, doubts }),
  };
}

const sameRun = (a: DrawnLead, b: DrawnLead): boolean =>
  a.from === b.from && a.to === b.to && samePoints(a.lineMm, b.lineMm);

const sameDoubts = (a: DrawnLead, b: DrawnLead): boolean =>
  a.confidenceP === b.confidenceP && a.doubts.length === b.doubts.length;

function sameLead(a: DrawnLead, b: DrawnLead): boolean {
  return (
    a === b ||
    (a.kind === b.kind &&
      a.faceWidthMm === b.faceWidthMm &&
      a.profile === b.profile &&
      sameDoubts(a, b) &&
      sameRun(a, b))
  );
}

function samePoints(a: readonly XyMm[], b: readonly XyMm[]): boolean {
  return a.length === b.length && a.every(([x, y], i) => x === b[i]![0] && y === b[i]![1]);
}

function jointOf(id: string, base: Drawing, mine: Drawing, newer: Drawing): XyMm {
  const was = base.joints.get(id);
  const is = mine.joints.get(id);
  const theirs = newer.joints.get(id);
  if (is !== undefined && (was === undefined || !samePoints([was], [is]))) return is;
  return (theirs ?? is ?? was)!;
}

/** A lead whose end was moved by the other person follows there. */
function fitted(lead: DrawnLead, joints: ReadonlyMap<string, XyMm>): DrawnLead {
  const from = joints.get(lead.from)!;
  const to = joints.get(lead.to)!;
  const first = lead.lineMm[0]!;
  const last = lead.lineMm[lead.lineMm.length - 1]!;
  if (samePoints([from, to], [first, last])) return lead;
  const lineMm = carryEnds(
    lead.lineMm,
    [from[0] - first[0], from[1] - first[1]],
    [to[0] - last[0], to[1] - last[1]],
    false,
  );
  lineMm[0] = from;
  lineMm[lineMm.length - 1] = to;
  return { ...lead, lineMm };
}

function findPlace(drawing: Drawing, { xyMm, reason }: DoubtfulPlace): boolean {
  return [...drawing.places.values()].some(
    (place) => place.reason === reason && samePoints([place.xyMm], [xyMm]),
  );
}

/** Joints that had more leads in the newer drawing than are left. */
function leftBetweenTwo(merged: Drawing, newer: Drawing): string[] {
  const count = (drawing: Drawing) => {
    const at = new Map<string, number>();
    for (const { from, to } of drawing.leads.values()) {
      for (const id of [from, to]) at.set(id, (at.get(id) ?? 0) + 1);
    }
    return at;
  };
  const before = count(newer);
  return [...count(merged)]
    .filter(([id, n]) => n === 2 && (before.get(id) ?? 0) > 2)
    .map(([id]) => id);
}
