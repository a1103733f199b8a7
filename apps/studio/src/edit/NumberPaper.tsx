import { type SubmitEvent, useState } from 'react';
import { type Net, numberPiece } from '#libs/net';
import { Field } from '../platform/Field.js';
import { sayAreaMm2 } from '../platform/say-number.js';
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
      aria-label={`Piece ${pieceId}`}
      onSubmit={(event: SubmitEvent) => {
        event.preventDefault();
        if (!read) return;
        const number = { number: Number(read[1]), part: read[2] ?? null };
        desk.act(`number ${pieceId} ${typed.trim()}`, () =>
          numberPiece(desk.drawing, net, pieceId, number),
        );
      }}
    >
      <h2>Piece {pieceId}</h2>
      <p className="sub">{sayAreaMm2(piece.areaMm2)} within the centre lines, computed</p>
      {signed ? (
        <p className="caution">
          <b>This number is signed.</b>
          Findings and work are recorded under it. Another number makes it another piece.
        </p>
      ) : null}
      <Field label="Number" hint="a part has a letter: 17a">
        {(ids) => (
          <input
            {...ids}
            value={typed}
            aria-invalid={read ? undefined : true}
            onChange={(event) => {
              setTyped(event.target.value);
            }}
          />
        )}
      </Field>
      <button type="submit" className="quiet" disabled={!read || typed.trim() === pieceId}>
        Give it this number
      </button>
    </form>
  );
}
