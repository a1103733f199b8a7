import type { Net } from '#libs/net';
import type { FindingTerm } from '#libs/vocabulary';
import { type Finding, readFindings, readTerms } from '../platform/api/findings.js';
import { type NetSummary, readNet, readNets } from '../platform/api/nets.js';
import { type Panel, type Piece, readPanel, readPieces } from '../platform/api/panels.js';
import { useAnswer } from '../platform/use-answer.js';
import { sketchOfTraced } from './traced-net.js';
import { type OlderPictures, useOlderPictures } from './use-older-pictures.js';

export interface Bench {
  /** with those of its older pictures that were asked for */
  readonly panel: Panel;
  /** null: all its pictures came with it */
  readonly older: OlderPictures | null;
  readonly pieces: readonly Piece[];
  readonly findings: readonly Finding[];
  readonly terms: readonly FindingTerm[];
  readonly nets: readonly NetSummary[];
  /** the newest drawing, or what was traced so far */
  readonly net: Net;
  readonly traced: boolean;
  /** asks for the findings only */
  readonly findingsAgain: () => void;
  readonly again: () => void;
}

/** Everything the bench of one panel shows; `why` when one of it cannot be had. */
export function useBench(panelId: string): { bench?: Bench; why?: string; again: () => void } {
  const panel = useAnswer(`panel ${panelId}`, (signal) => readPanel(panelId, signal));
  const { panel: shown, older } = useOlderPictures(panel.value);
  const pieces = useAnswer(`pieces ${panelId}`, (signal) => readPieces(panelId, signal));
  const findings = useAnswer(`findings ${panelId}`, (signal) => readFindings(panelId, signal));
  const nets = useAnswer(`nets ${panelId}`, (signal) => readNets(panelId, signal));
  const terms = useAnswer('terms', readTerms);
  const revision = panel.value?.netRevision ?? null;
  const net = useAnswer(revision === null ? null : `net ${panelId} ${revision}`, (signal) =>
    readNet(panelId, revision ?? 0, signal),
  );
  const again = () => {
    for (const answer of [panel, pieces, findings, nets]) answer.again();
  };
  const why = panel.why ?? pieces.why ?? findings.why ?? nets.why ?? terms.why ?? net.why;
  if (
    !shown ||
    !pieces.value ||
    !findings.value ||
    !nets.value ||
    !terms.value ||
    (revision !== null && !net.value)
  )
    return why === undefined ? { again } : { why, again };
  return {
    again,
    bench: {
      panel: shown,
      older,
      pieces: pieces.value.filter((piece) => !piece.retired),
      findings: findings.value,
      terms: terms.value,
      nets: nets.value,
      net: net.value ?? sketchOfTraced(shown, pieces.value),
      traced: net.value === undefined,
      findingsAgain: findings.again,
      again,
    },
  };
}
