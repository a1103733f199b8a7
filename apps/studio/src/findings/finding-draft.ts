/**
 * What a hand has drawn of one finding so far: a place, a line, or an area that lassos and brushes add to
 * and take from. Pure; what is taken back is a draft of before.
 */
import {
  brushedRings,
  isInsideRing,
  keyholeRing,
  ringAreaMm2,
  ringsAreaMm2,
  simplifyLine,
  simplifyRing,
  subtractRings,
  toMicron,
  unionRings,
  type XyMm,
} from '#libs/net';
import type { FindingGeometry } from '#libs/vocabulary';

export type DraftKind = FindingGeometry['kind'];

export interface FindingDraft {
  readonly kind: DraftKind;
  /** the place, the line, or the corners of an outline that is not closed yet */
  readonly xyMm: readonly XyMm[];
  /** what is covered: positive outsides, negative holes */
  readonly rings: readonly (readonly XyMm[])[];
  /** nothing more is wanted; the next stroke begins another finding */
  readonly ended: boolean;
}

/** A hand is no steadier than this: what it draws keeps no more points. */
export const HAND_MM = 0.2;
/** Scraps of an area smaller than this are left over from the brush, not found on the glass. */
const SCRAP_MM2 = 0.5;

export const nothingDrawn = (kind: DraftKind): FindingDraft => ({
  kind,
  xyMm: [],
  rings: [],
  ended: false,
});

export const isEmpty = ({ xyMm, rings }: FindingDraft): boolean =>
  xyMm.length === 0 && rings.length === 0;

/** One more corner; a place is there at once. */
export function withPoint(draft: FindingDraft, xyMm: XyMm): FindingDraft {
  if (draft.kind === 'point') return { ...draft, xyMm: [xyMm], ended: true };
  return { ...draft, xyMm: [...draft.xyMm, xyMm] };
}

/** A line drawn in one stroke, on from the points that were set before it. */
export function withStroke(draft: FindingDraft, stroke: readonly XyMm[]): FindingDraft {
  const xyMm = [...draft.xyMm, ...simplifyLine(stroke, HAND_MM)];
  return { ...draft, xyMm, ended: xyMm.length >= 2 };
}

/** No more points: a line ends, an outline closes. The draft itself when there are too few. */
export function ended(draft: FindingDraft): FindingDraft {
  if (draft.kind === 'area' && draft.xyMm.length >= 3)
    return covered({ ...draft, xyMm: [] }, [draft.xyMm], false);
  return draft.xyMm.length >= { point: 1, line: 2, area: 3 }[draft.kind]
    ? { ...draft, ended: true }
    : draft;
}

/** An outline drawn in one go: added, or taken away. */
export function withLasso(
  draft: FindingDraft,
  stroke: readonly XyMm[],
  isTaken: boolean,
): FindingDraft {
  const ring = simplifyRing(stroke, HAND_MM);
  return ring.length < 3 ? draft : covered(draft, [ring], isTaken);
}

/** What a round brush covers: added, or taken away. */
export function withBrush(
  draft: FindingDraft,
  stroke: readonly XyMm[],
  widthMm: number,
  isTaken: boolean,
): FindingDraft {
  return covered(draft, brushedRings(simplifyLine(stroke, HAND_MM / 2), widthMm), isTaken);
}

/** @param rings positive outsides, negative holes */
export function covered(
  draft: FindingDraft,
  rings: readonly (readonly XyMm[])[],
  isTaken: boolean,
): FindingDraft {
  const joined = isTaken
    ? subtractRings(draft.rings, rings)
    : unionRings([...draft.rings, ...rings]);
  const kept = joined
    .filter((ring) => Math.abs(ringAreaMm2(ring)) > SCRAP_MM2)
    .map((ring) => simplifyRing(ring, HAND_MM / 4));
  return { ...draft, rings: kept, ended: false };
}

/** Area of what is covered, mm². */
export const draftAreaMm2 = ({ rings }: FindingDraft): number => ringsAreaMm2(rings);

/**
 * What is recorded: a place or line as it is; each part of an area by itself, its holes cut in. Empty
 * while there is too little.
 */
export function geometriesOf(draft: FindingDraft): FindingGeometry[] {
  const { kind } = draft;
  if (kind !== 'area') {
    const xyMm = draft.xyMm.map(rounded);
    return xyMm.length >= (kind === 'line' ? 2 : 1) ? [{ kind, xyMm }] : [];
  }
  const { rings } = draft.xyMm.length >= 3 ? ended(draft) : draft;
  return partsOf(rings).map((ring) => ({ kind, xyMm: ring.map(rounded) }));
}

/** Each part of an area as one ring, its holes cut in. @param rings positive outsides, negative holes */
export function partsOf(rings: readonly (readonly XyMm[])[]): XyMm[][] {
  const outsides = rings.filter((ring) => ringAreaMm2(ring) > 0);
  const holes = rings.filter((ring) => ringAreaMm2(ring) < 0);
  return outsides.map((outside) =>
    keyholeRing(
      outside,
      holes.filter((hole) => smallestRound(hole[0]!, outsides) === outside),
    ),
  );
}

function smallestRound(
  point: XyMm,
  outsides: readonly (readonly XyMm[])[],
): readonly XyMm[] | undefined {
  return outsides
    .filter((ring) => isInsideRing(point, ring))
    .sort((a, b) => ringAreaMm2(a) - ringAreaMm2(b))[0];
}

/** As fine as geometry is stored. */
export const rounded = ([x, y]: XyMm): XyMm => [toMicron(x), toMicron(y)];
