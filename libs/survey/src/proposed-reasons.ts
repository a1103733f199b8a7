/** Reasons for a condition class, computed from what was recorded of a panel: proposals, never a class. */
import { ringsAreaMm2 } from '#libs/net';
import {
  areaText,
  type FindingGeometry,
  findingTerm,
  type Measure,
  type MeasuredPiece,
  measurePerPiece,
  percentText,
  unionAreaMm2,
} from '#libs/vocabulary';

export interface SurveyedFinding {
  readonly findingId: string;
  readonly term: string;
  /** '17', 'L12', 'J4'; null: the panel */
  readonly inPanel: string | null;
  readonly geometry: FindingGeometry;
  readonly measure: Measure;
}

export interface ProposedReason {
  readonly term: string;
  /** '7 simple cracks, 412 mm, in 6 of 48 pieces (13 %)' */
  readonly text: string;
  /** How the figures were come by. */
  readonly how: string;
  readonly findingIds: readonly string[];
  readonly count: number;
  readonly lengthMm: number | null;
  /** Overlaps counted once. */
  readonly areaMm2: number | null;
  /** Of the glass that is seen. */
  readonly shareRatio: number | null;
  readonly pieces: number;
}

export interface ProposedReasons {
  readonly reasons: readonly ProposedReason[];
  /** Pieces that a damage touches, of all; earlier repairs are no damage. Null without pieces. */
  readonly extentRatio: number | null;
  readonly piecesTouched: number;
  readonly pieces: number;
}

/** Terms of earlier work are neutral until somebody judges them. */
const isDamage = (term: string) => findingTerm(term)?.group !== 'repair';

/**
 * One reason a term: how many, how long together, which area of the glass, how many pieces. The most
 * pieces first.
 *
 * @param pieces of the drawing in force, or the tracings; none where nothing is drawn
 */
export function proposedReasons(
  findings: readonly SurveyedFinding[],
  pieces: readonly MeasuredPiece[],
): ProposedReasons {
  const byTerm = new Map<string, SurveyedFinding[]>();
  for (const finding of findings) {
    byTerm.set(finding.term, [...(byTerm.get(finding.term) ?? []), finding]);
  }
  const touched = new Map(findings.map((finding) => [finding, piecesOf(finding, pieces)]));
  const seenMm2 = pieces.reduce((sum, { sightRingsMm }) => sum + ringsAreaMm2(sightRingsMm), 0);
  const reasons = [...byTerm].map(([term, all]): ProposedReason => {
    const names = new Set(all.flatMap((finding) => [...touched.get(finding)!]));
    const areas = all.flatMap(({ geometry }) =>
      geometry.kind === 'area' && geometry.xyMm.length >= 3 ? [geometry.xyMm] : [],
    );
    const lengths = all.flatMap(({ measure }) => measure.lengthMm ?? []);
    const areaMm2 = areas.length === 0 ? null : unionAreaMm2(areas);
    const lengthMm = lengths.length === 0 ? null : lengths.reduce((a, b) => a + b, 0);
    const shareRatio = areaMm2 === null || seenMm2 === 0 ? null : Math.min(1, areaMm2 / seenMm2);
    const count = all.reduce((sum, { measure }) => sum + Math.max(1, measure.countN ?? 1), 0);
    const label = findingTerm(term)?.label ?? term;
    const told = [
      `${count} × ${label}`,
      ...(lengthMm === null ? [] : [`${Math.round(lengthMm)} mm`]),
      ...(areaMm2 === null ? [] : [areaText(areaMm2)]),
      ...(shareRatio === null ? [] : [`${percentText(shareRatio)} of the glass`]),
      ...(names.size === 0
        ? []
        : [
            `in ${names.size} of ${pieces.length} pieces (${percentText(names.size / pieces.length)})`,
          ]),
    ];
    return {
      term,
      text: told.join(', '),
      how: [
        all.length === 1 ? '1 recorded finding' : `${all.length} recorded findings`,
        ...(lengthMm === null ? [] : ['lengths as drawn, added up']),
        ...(areaMm2 === null ? [] : ['areas as drawn, overlaps counted once']),
        ...(names.size === 0 ? [] : ['pieces that they touch in the drawing']),
      ].join('; '),
      findingIds: all.map(({ findingId }) => findingId),
      count,
      lengthMm,
      areaMm2,
      shareRatio,
      pieces: names.size,
    };
  });
  const damaged = new Set(
    findings.flatMap((finding) => (isDamage(finding.term) ? [...touched.get(finding)!] : [])),
  );
  return {
    reasons: reasons.sort((a, b) => b.pieces - a.pieces || b.count - a.count),
    extentRatio: pieces.length === 0 ? null : damaged.size / pieces.length,
    piecesTouched: damaged.size,
    pieces: pieces.length,
  };
}

function piecesOf(
  { inPanel, geometry }: SurveyedFinding,
  pieces: readonly MeasuredPiece[],
): Set<string> {
  const measured = measurePerPiece(geometry, pieces).map(({ pieceId }) => pieceId);
  if (measured.length > 0) return new Set(measured);
  return new Set(pieces.some(({ pieceId }) => pieceId === inPanel) ? [inPanel!] : []);
}
