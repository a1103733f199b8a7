import { type SubmitEvent, useState } from 'react';
import type { NetPiece } from '#libs/net';
import { boxOf } from '../drawing/plane.js';
import { describePiece, type Piece } from '../platform/api/panels.js';
import { Cautions } from '../platform/Cautions.js';
import { Field } from '../platform/Field.js';
import { Go } from '../platform/Go.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { sayAreaMm2, saySizeMm } from '../platform/say-number.js';
import { useAct } from '../platform/use-act.js';
import type { Bench } from './use-bench.js';

/** The record of one piece of glass: sizes from the drawing, what it shows. */
export function PiecePaper({ bench, inNet }: { bench: Bench; inNet: NetPiece }) {
  const { panel, net, traced } = bench;
  const piece = bench.pieces.find((known) => known.mark === inNet.pieceId);
  const cut = boxOf(inNet.cutRingMm);
  const errorMm = Math.max(0.5, Math.ceil((net.flatten?.rmsMm ?? 0.5) * 2) / 2);
  return (
    <article className="paper" aria-label={`Record of piece ${inNet.pieceId}`}>
      <h1>{inNet.pieceId}</h1>
      <p className="sub">
        {[piece?.glass, piece?.shows].filter(Boolean).join(', ') || `piece of ${panel.mark}`}
        {piece?.provisional ? ' (provisional number)' : ''}
      </p>
      <table className="facts">
        <tbody>
          {traced ? null : (
            <tr>
              <th scope="row">cut size</th>
              <td>
                {saySizeMm(cut.maxX - cut.minX, cut.maxY - cut.minY)} ± {errorMm}, computed
              </td>
            </tr>
          )}
          <tr>
            <th scope="row">area</th>
            <td>
              {sayAreaMm2(inNet.areaMm2)}, {traced ? 'traced' : 'computed'}
            </td>
          </tr>
          {traced ? null : (
            <>
              <tr>
                <th scope="row">glass seen between the leads</th>
                <td>{sayAreaMm2(inNet.sightAreaMm2)}, computed</td>
              </tr>
              <tr>
                <th scope="row">lead around it</th>
                <td>{inNet.leadIds.join(' ')}</td>
              </tr>
            </>
          )}
        </tbody>
      </table>
      {piece ? <WhatItShows key={piece.pieceId} piece={piece} again={bench.again} /> : null}
      {!piece && !traced ? (
        <p className="hint">
          Sign the drawing, and this piece can be described and kept by its number.
        </p>
      ) : null}
      <p className="row also">
        <Go className="word" to={pathOf(`${panel.fullMark}.${inNet.pieceId}`, 'work')}>
          work done on it
        </Go>
        <Go className="word" to={pathOf(`${panel.fullMark}.${inNet.pieceId}`, 'papers')}>
          its records
        </Go>
        <Go className="word" to={pathOf(panel.fullMark) + window.location.search}>
          the whole panel
        </Go>
      </p>
      <Cautions keys={['lead-dust', 'untested-paint']} />
    </article>
  );
}

function WhatItShows({ piece, again }: { piece: Piece; again: () => void }) {
  const [shows, setShows] = useState(piece.shows ?? '');
  const [glass, setGlass] = useState(piece.glass ?? '');
  const { busy, why, run } = useAct();
  const changed = shows !== (piece.shows ?? '') || glass !== (piece.glass ?? '');
  const keep = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await describePiece(
        piece.pieceId,
        { ...(shows === '' ? {} : { shows }), ...(glass === '' ? {} : { glass }) },
        piece.version,
      );
      again();
    });
  };
  return (
    <form className="stack describe" onSubmit={keep}>
      <div className="two">
        <Field label="Shows">
          {(ids) => (
            <input
              {...ids}
              placeholder="face, drapery, border…"
              value={shows}
              onChange={(event) => {
                setShows(event.target.value);
              }}
            />
          )}
        </Field>
        <Field label="Glass">
          {(ids) => (
            <input
              {...ids}
              placeholder="green pot metal…"
              value={glass}
              onChange={(event) => {
                setGlass(event.target.value);
              }}
            />
          )}
        </Field>
      </div>
      {changed ? (
        <button type="submit" disabled={busy}>
          Keep what it shows
        </button>
      ) : null}
      <Refusal why={why} />
    </form>
  );
}
