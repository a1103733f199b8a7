import { useState } from 'react';
import { carryOver, proposeCarryOver } from '../platform/api/panels.js';
import { Figure } from '../platform/figure/Figure.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { sayRatio } from '../platform/say-number.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import type { Bench } from './use-bench.js';

/** Provisional numbers → pieces of the signed drawing: proposed by overlap, confirmed by a person. */
export function CarryOverPaper({ bench }: { bench: Bench }) {
  const { panel, pieces } = bench;
  const waiting = pieces.filter((piece) => piece.provisional && !piece.carriedTo);
  const ready = panel.signedRevision !== null && waiting.length > 0;
  const proposal = useAnswer(ready ? `carry ${panel.panelId} ${waiting.length}` : null, (signal) =>
    proposeCarryOver(panel.panelId, signal),
  );
  const [changed, setChanged] = useState<Readonly<Record<string, string>>>({});
  const { busy, why, run } = useAct();
  if (!ready || !proposal.value) return null;
  const signed = pieces.filter((piece) => !piece.provisional);
  const rows = proposal.value.matches.map((match) => ({
    ...match,
    mark: pieces.find((piece) => piece.pieceId === match.provisionalPieceId)?.mark ?? '?',
    to: changed[match.provisionalPieceId] ?? match.pieceId ?? '',
  }));
  return (
    <article className="paper" aria-label={say('Provisional numbers')}>
      <h2>{say('Carry the provisional numbers over')}</h2>
      <div className="sub">
        <Figure kind="overlap" of={say('overlap')}>
          {say('Proposed by overlap with the signed drawing. You decide.')}
        </Figure>
      </div>
      <ul className="lines">
        {rows.map((row) => (
          <li key={row.provisionalPieceId}>
            <span>
              {rich('provisional {mark}', { mark: row.mark })}
              {say(', {overlapRatio} inside', { overlapRatio: sayRatio(row.overlapRatio) })}
            </span>
            <select
              className="paper-word"
              aria-label={say('Piece that provisional {mark} is', { mark: row.mark })}
              value={row.to}
              onChange={(event) => {
                setChanged({ ...changed, [row.provisionalPieceId]: event.target.value });
              }}
            >
              <option value="">{say('none of them')}</option>
              {signed.map((piece) => (
                <option key={piece.pieceId} value={piece.pieceId}>
                  {rich('piece {mark}', { mark: piece.mark })}
                </option>
              ))}
            </select>
          </li>
        ))}
      </ul>
      <button
        type="button"
        disabled={busy}
        onClick={() => {
          void run(async () => {
            await carryOver(
              panel.panelId,
              rows.map((row) => ({
                provisionalPieceId: row.provisionalPieceId,
                pieceId: row.to === '' ? null : row.to,
                ...(row.to === '' ? { reason: say('no piece of the drawing is this one') } : {}),
              })),
            );
            bench.again();
          });
        }}
      >
        {say('Confirm')}
      </button>
      <Refusal why={why} />
    </article>
  );
}
