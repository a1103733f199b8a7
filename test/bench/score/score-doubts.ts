/** Does the list of doubts hold what is wrong, without being long? And is a sure lead a right one? See lead-matches. */
import { matchLeads } from './lead-matches.js';
import { pieceFaults } from './piece-faults.js';
import { moved, type Rigid } from './rigid-align.js';
import type { RubbingResult, RubbingTruth } from './rubbing-result.js';

export interface ConfidenceBin {
  from: number;
  leads: number;
  right: number;
}

export interface DoubtScore {
  wrong: number;
  missing: number;
  /** Pieces wrong or missing that no wrong or missing lead accounts for. */
  pieces: number;
  /** Of wrong and missing, pieces too, how many the list holds. */
  covered: number;
  listed: number;
  /** Of the listed, places of leads that took hardly any wax and are not drawn: no fault, and no false alarm. */
  unseen: number;
  bins: ConfidenceBin[];
}

export const BIN_EDGES = [0, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98] as const;

export function scoreDoubts(truth: RubbingTruth, result: RubbingResult, rigid: Rigid): DoubtScore {
  const placed = placedResult(result, rigid);
  const leads = placed.leads ?? [];
  const matches = matchLeads(truth, placed);
  const { isRight, isDoubtful, found, freePlaces, unseenPlaces } = matches;
  const pieces = pieceFaults(truth, placed, matches);
  const bins = BIN_EDGES.map((from): ConfidenceBin => ({ from, leads: 0, right: 0 }));
  leads.forEach((e, i) => {
    const bin = bins.findLast((b) => (e.confidence ?? 0) >= b.from) ?? bins[0]!;
    bin.leads++;
    if (isRight[i]) bin.right++;
  });
  const count = <T>(list: readonly T[], is: (item: T, i: number) => boolean): number =>
    list.filter(is).length;
  return {
    wrong: count(isRight, (right) => !right),
    missing: count(found, (f) => f !== 'found'),
    pieces: pieces.length,
    covered:
      count(found, (f) => f === 'listed') +
      count(isRight, (right, i) => !right && isDoubtful[i]!) +
      count(pieces, (isListed) => isListed),
    listed: count(isDoubtful, (doubtful) => doubtful) + freePlaces,
    unseen: unseenPlaces,
    bins,
  };
}

/** The result laid into the truth's frame. */
export function placedResult(result: RubbingResult, rigid: Rigid): RubbingResult {
  const place = (p: [number, number]): [number, number] => moved(rigid, p);
  return {
    ...result,
    leads: (result.leads ?? []).map((e) => ({ ...e, line: e.line.map(place) })),
    pieces: (result.pieces ?? []).map((p) => ({
      ...p,
      ...(p.polygon ? { polygon: p.polygon.map(place) } : {}),
      ...(p.cut_polygon ? { cut_polygon: p.cut_polygon.map(place) } : {}),
    })),
    junctions: result.junctions?.map((j) => place(Array.isArray(j) ? j : j.xy)) ?? null,
    doubtful_places: (result.doubtful_places ?? []).map((d) => ({ ...d, xy: place(d.xy) })),
  };
}
