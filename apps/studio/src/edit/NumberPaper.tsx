import { type SubmitEvent, useState } from 'react';
import { type Net, numberPiece } from '#libs/net';
import { Figure } from '../platform/figure/Figure.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { sayAreaMm2 } from '../platform/say-number.js';
import { TextField } from '../platform/TextField.js';
import type { DrawingDesk } from './use-drawing.js';

/** The number of one piece; a person's word goes before every rule. */
export function NumberPaper({
  desk,
  net,
  pieceId,
  signed,
}: {
  desk: DrawingDesk;
  net: Net;
  pieceId: string;
  /** this number was signed: it is the piece's for ever */
  signed: boolean;
}) {
  const piece = net.pieces.find((one) => one.pieceId === pieceId);
  const [typed, setTyped] = useState(pieceId);
  if (!piece) return null;
  const read = /^\s*(\d{1,4})\s*([a-z]{1,2})?\s*$/.exec(typed);
  return (
    <form
      className="paper stack"
      aria-label={say('Piece {pieceId}', { pieceId })}
      onSubmit={(event: SubmitEvent) => {
        event.preventDefault();
        if (!read) return;
        const number = { number: Number(read[1]), part: read[2] ?? null };
        desk.act(say('number {pieceId} {typed}', { pieceId, typed: typed.trim() }), () =>
          numberPiece(desk.drawing, net, pieceId, number),
        );
      }}
    >
      <h2>{rich('Piece {pieceId}', { pieceId })}</h2>
      <div className="sub">
        <Figure kind="piece-area" of={say('area')}>
          {say('{areaMm2} within the centre lines, computed', {
            areaMm2: sayAreaMm2(piece.areaMm2),
          })}
        </Figure>
      </div>
      {signed ? (
        <p className="caution">
          {rich(
            '<b>This number is signed.</b>Findings and work are recorded under it. Another number makes it another piece.',
            { b: (words) => <b>{words}</b> },
          )}
        </p>
      ) : null}
      <TextField
        label={say('Number')}
        hint={say('a part has a letter: 17a')}
        aria-invalid={read ? undefined : true}
        value={typed}
        onValue={setTyped}
      />
      <button type="submit" className="quiet" disabled={!read || typed.trim() === pieceId}>
        {say('Give it this number')}
      </button>
    </form>
  );
}
