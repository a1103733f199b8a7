/**
 * Leads that end in the glass. Regions have no place for them: a lead that stops within a piece is drawn on to what it
 * would meet, over paper where the map sees no face at all. Such a stretch goes, and what was rubbed stays, open.
 */
import { bilinear } from '#libs/raster';
import { type Draft, type DraftLead, draftOf, lineOf } from './draft.js';
import { draftFaces } from './draft-faces.js';
import type { LeadEvidence } from './lead-evidence.js';

/** Less likely to be under a face than this is bare; gaps in the wax are bridged by the map and have more than 0.3. */
const BARE = 0.15;
const IS_FACE = 0.5;
/** Millimetres of the shortest bare stretch; 17 and more in five open ends, at most 7 in other leads. */
const LEAST_BARE_MM = 10;
/** What lies beyond the bare stretch is no more than the face of the lead met and the ring of its edge. */
const BEYOND_MM = 3;
/** What was rubbed reaches at least so far out of the face of the lead it starts at. */
const LEAST_RUBBED_MM = 6;

type Line = DraftLead & { line: Float64Array };

export interface OpenedDraft {
  readonly draft: Draft;
  /** Leads of `draft` that end in the glass, and those that only such leads hang on. */
  readonly open: ReadonlySet<DraftLead>;
}

/** The same draft where no lead has an open end. */
export function withOpenEnds(draft: Draft, evidence: LeadEvidence): OpenedDraft {
  const widest = widestFaceAt(draft);
  const nodes = Array.from(draft.xy.subarray(0, 2 * draft.nodeCount));
  const open = new Set<Line>();
  const loosened = new Set<number>();
  let lines = draft.leads.map((lead): Line => {
    const line = lineOf(draft, lead);
    const kept = rubbedPart(line, lead, widest, evidence);
    if (!kept) return { ...lead, line };
    const node = nodes.length / 2;
    const at = kept.from === 0 ? kept.to : kept.from;
    nodes.push(line[2 * at]!, line[2 * at + 1]!);
    loosened.add(kept.from === 0 ? lead.to : lead.from);
    const out = {
      ...lead,
      ...(kept.from === 0 ? { to: node } : { from: node }),
      line: line.slice(2 * kept.from, 2 * kept.to + 2),
    };
    open.add(out);
    return out;
  });
  if (open.size === 0) return { draft, open: new Set() };
  // what only went on from a stretch that is gone goes too, unless it was rubbed itself
  const bare = [...danglingLeads(lines)].filter(
    (l) => !open.has(l) && isMostlyBare(facesAlong(l.line, evidence)),
  );
  lines = lines.filter((l) => !bare.includes(l));
  for (const { from, to } of bare) loosened.add(from).add(to);
  for (const node of loosened) lines = runThrough(lines, node, open);
  const used = [...new Set(lines.flatMap(({ from, to }) => [from, to]))];
  const name = new Map(used.map((node, k) => [node, k]));
  const opened = draftOf(
    used.flatMap((node) => [nodes[2 * node]!, nodes[2 * node + 1]!]),
    lines.map((l) => ({ ...l, from: name.get(l.from)!, to: name.get(l.to)! })),
  );
  const dangling = danglingLeads(opened.leads);
  const { sides } = draftFaces(opened);
  // a lead may hang on by more than its open end: by a bend, or by what is left of another
  const isPlain = opened.leads.every(
    (lead, i) => dangling.has(lead) || sides[i]![0] !== sides[i]![1],
  );
  return isPlain ? { draft: opened, open: dangling } : { draft, open: new Set() };
}

/** Leads that lead nowhere but to open ends. */
function danglingLeads<T extends { from: number; to: number }>(leads: readonly T[]): Set<T> {
  const out = new Set<T>();
  const degree = new Map<number, number>();
  const count = (node: number, by: number): void => {
    degree.set(node, (degree.get(node) ?? 0) + by);
  };
  for (const { from, to } of leads) {
    count(from, 1);
    count(to, 1);
  }
  for (let found = true; found; ) {
    found = false;
    for (const lead of leads) {
      const { from, to } = lead;
      if (out.has(lead) || (degree.get(from) !== 1 && degree.get(to) !== 1)) continue;
      out.add(lead);
      count(from, -1);
      count(to, -1);
      found = true;
    }
  }
  return out;
}

/** How likely a face covers each point of a line. */
function facesAlong(line: Float64Array, evidence: LeadEvidence): Float64Array {
  return Float64Array.from({ length: line.length / 2 }, (_, k) =>
    bilinear(
      evidence.face,
      (line[2 * k]! - evidence.originMm[0]) * evidence.cellsPerMm,
      (line[2 * k + 1]! - evidence.originMm[1]) * evidence.cellsPerMm,
    ),
  );
}

function isMostlyBare(face: Float64Array): boolean {
  return face.filter((f) => f < BARE).length > face.length / 2;
}

/** First and last point of what was rubbed; undefined for a lead that goes from joint to joint. */
function rubbedPart(
  line: Float64Array,
  lead: DraftLead,
  widest: (node: number, but: DraftLead) => number,
  evidence: LeadEvidence,
): { from: number; to: number } | undefined {
  const n = line.length / 2;
  const face = facesAlong(line, evidence);
  const bare = longestBelow(face, BARE);
  if (bare.to - bare.from + 1 < LEAST_BARE_MM) return undefined;
  const before = bare.from;
  const after = n - 1 - bare.to;
  const [fromFace, toFace] = [widest(lead.from, lead) / 2, widest(lead.to, lead) / 2];
  // the points of a line are about a millimetre apart
  if (after <= toFace + BEYOND_MM && before >= fromFace + LEAST_RUBBED_MM) {
    let to = bare.from;
    while (to > 0 && face[to]! < IS_FACE) to--;
    return to >= fromFace + LEAST_RUBBED_MM ? { from: 0, to } : undefined;
  }
  if (before <= fromFace + BEYOND_MM && after >= toFace + LEAST_RUBBED_MM) {
    let from = bare.to;
    while (from < n - 1 && face[from]! < IS_FACE) from++;
    return n - 1 - from >= toFace + LEAST_RUBBED_MM ? { from, to: n - 1 } : undefined;
  }
  return undefined;
}

function longestBelow(values: Float64Array, limit: number): { from: number; to: number } {
  let best = { from: 0, to: -1 };
  let from = 0;
  values.forEach((value, k) => {
    if (value >= limit) from = k + 1;
    else if (k - from > best.to - best.from) best = { from, to: k };
  });
  return best;
}

/** Widest face of the other leads at a node. */
function widestFaceAt(draft: Draft): (node: number, but: DraftLead) => number {
  const at: DraftLead[][] = Array.from({ length: draft.nodeCount }, () => []);
  for (const lead of draft.leads) {
    at[lead.from]!.push(lead);
    at[lead.to]!.push(lead);
  }
  return (node, but) =>
    at[node]!.reduce((most, lead) => (lead === but ? most : Math.max(most, lead.faceWidthMm)), 0);
}

/** Two leads left at a node by the one that went are one lead again. */
function runThrough(lines: readonly Line[], node: number, open: Set<Line>): Line[] {
  const at = lines.filter((l) => l.from === node || l.to === node);
  const [a, b] = at;
  if (at.length !== 2 || !a || !b || open.has(a) || open.has(b)) return [...lines];
  const first = a.to === node ? a : reversed(a);
  const second = b.from === node ? b : reversed(b);
  if (first.from === second.to) return [...lines];
  const joined: Line = {
    ...first,
    to: second.to,
    line: Float64Array.from([...first.line, ...second.line.subarray(2)]),
  };
  return lines.flatMap((l) => (l === a ? [joined] : l === b ? [] : [l]));
}

function reversed(l: Line): Line {
  const n = l.line.length / 2;
  const line = new Float64Array(l.line.length);
  for (let k = 0; k < n; k++) {
    line[2 * k] = l.line[2 * (n - 1 - k)]!;
    line[2 * k + 1] = l.line[2 * (n - 1 - k) + 1]!;
  }
  return { ...l, from: l.to, to: l.from, left: l.right, right: l.left, line };
}
