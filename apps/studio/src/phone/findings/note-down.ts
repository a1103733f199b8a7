/** From what was tapped and typed to a finding that lies on this device. */
import { type FindingTerm, measureFinding, measureText, VocabularyError } from '#libs/vocabulary';
import type { Xy } from '../../drawing/plane.js';
import type { Finding } from '../../platform/api/findings.js';
import type { Face } from '../../platform/api/panels.js';
import { say } from '../../platform/language/say.js';
import { newId } from '../../platform/new-id.js';
import type { KnownPanel, KnownPiece } from './known-panel.js';
import { addNote } from './note-store.js';
import { freshNote } from './noted.js';

export interface Draft {
  readonly term: FindingTerm;
  readonly kind: 'point' | 'line' | 'area';
  readonly xyMm: readonly Xy[];
  readonly piece: KnownPiece | null;
  readonly face: Face;
  readonly note: string;
  /** EDTF; empty: not said */
  readonly happened: string;
  readonly corrects: Finding | null;
}

const least = { point: 1, line: 2, area: 3 } as const;

/** What is still to be said or drawn, as a sentence; null when nothing is missing. */
export function missingOfDraft({ kind, xyMm, piece }: Draft, panel: KnownPanel): string | null {
  if (piece === null && panel.pieces.length > 0 && xyMm.length === 0) return say('Tap the piece.');
  const left = least[kind] - xyMm.length;
  if (left <= 0) return null;
  if (kind === 'point') return say('Tap the place.');
  const words = kind === 'line' ? say('Tap along it') : say('Tap round its edge');
  return say('{words}: {left} more {left, plural, one {point} other {points}} at least.', {
    words,
    left,
  });
}

/** As the archive will measure it: '11.8 cm², 18 % of the piece'; empty while too little is drawn. */
export function measureOfDraft({ term, kind, xyMm, piece }: Draft): string {
  try {
    return measureText(measureFinding(term, { kind, xyMm }, piece?.glassMm));
  } catch (error) {
    if (error instanceof VocabularyError) return '';
    throw error;
  }
}

/** Resolves when it lies on this device. */
export async function noteDown(draft: Draft, panel: KnownPanel): Promise<void> {
  const { term, kind, xyMm, piece, face, note, happened, corrects } = draft;
  const inPanel = piece?.pieceId ?? corrects?.inPanel ?? null;
  const entered = corrects?.term === term.key ? corrects.entered : {};
  await addNote(
    freshNote({
      id: newId(),
      key: newId(),
      archiveId: panel.archiveId,
      panelId: panel.panelId,
      mark: inPanel === null ? panel.mark : `${panel.mark}.${inPanel}`,
      notedAt: new Date().toISOString(),
      body: {
        term: term.key,
        geometry: { kind, xyMm: xyMm.map(([x, y]) => [x, y]) },
        face,
        layer: panel.layer,
        ...(panel.netRevision === null ? {} : { netRevision: panel.netRevision }),
        ...(inPanel === null ? {} : { inPanel }),
        ...(corrects === null ? {} : { evidence: [...corrects.evidence] }),
        ...(Object.keys(entered).length === 0 ? {} : { entered }),
        ...(happened === '' ? {} : { happened }),
        ...(note === '' ? {} : { note }),
      },
      measureText: measureOfDraft(draft),
      corrects,
    }),
  );
}
