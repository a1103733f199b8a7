import type { FindingTerm } from '#libs/vocabulary';
import type { DrawnFinding } from '../drawing/findings-layer.js';
import type { DrawnItem } from '../findings/finding-desk.js';
import { termSign } from '../findings/term-look.js';
import type { Finding } from '../platform/api/findings.js';

/** What is in the archive, and what is on its way there: to the eye they are one drawing. */
export function drawnFindings(
  findings: readonly Finding[],
  items: readonly DrawnItem[],
  terms: readonly FindingTerm[],
  face: 'inside' | 'outside',
): readonly DrawnFinding[] {
  const known = new Set(findings.map(({ findingId }) => findingId));
  const drawn = (
    findingId: string,
    { term, geometry, face: seenOn }: Pick<Finding, 'term' | 'geometry' | 'face'>,
  ): DrawnFinding => ({
    findingId,
    kind: geometry.kind,
    xyMm: geometry.xyMm,
    sign: termSign(terms, term),
    otherFace: seenOn !== face,
  });
  return [
    ...findings
      .filter(({ state }) => state === 'recorded')
      .map((finding) => drawn(finding.findingId, finding)),
    ...items
      .filter(({ findingId }) => findingId === undefined || !known.has(findingId))
      .map(({ key, body }) => drawn(key, body)),
  ];
}
