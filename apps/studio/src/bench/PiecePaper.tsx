import { type SubmitEvent, useState } from 'react';
import type { NetPiece } from '#libs/net';
import { boxOf } from '../drawing/plane.js';
import { describePiece, type Piece } from '../platform/api/panels.js';
import { Cautions } from '../platform/Cautions.js';
import { Figure } from '../platform/figure/Figure.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { sayAreaMm2, sayFixed, saySizeMm } from '../platform/say-number.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';
import { TechniqueFacts } from '../technique/TechniqueFacts.js';
import type { Bench } from './use-bench.js';

/** The record of one piece of glass: sizes from the drawing, what it shows. */
export function PiecePaper({ bench, inNet }: { bench: Bench; inNet: NetPiece }) {
  const { panel, net, traced } = bench;
  const piece = bench.pieces.find((known) => known.mark === inNet.pieceId);
  const cut = boxOf(inNet.cutRingMm);
  const errorMm = Math.max(0.5, Math.ceil((net.flatten?.rmsMm ?? 0.5) * 2) / 2);
  return (
    <article
      className="paper"
      aria-label={say('Record of piece {pieceId}', { pieceId: inNet.pieceId })}
    >
      <h1>{inNet.pieceId}</h1>
      <p className="sub">
        {[piece?.glass, piece?.shows].filter(Boolean).join(', ') ||
          say('piece of {mark}', { mark: panel.mark })}
        {piece?.provisional ? say(' (provisional number)') : ''}
      </p>
      <table className="facts">
        <tbody>
          {traced ? null : (
            <tr>
              <th scope="row">{say('cut size')}</th>
              <td>
                <Figure
                  kind="piece-cut"
                  of={say('cut size')}
                  inputs={[
                    [say('heart, not gauged'), `${sayFixed(net.heartMm, 2)} mm`],
                    [say('air beside it'), `${sayFixed(net.clearanceMm, 2)} mm`],
                  ]}
                >
                  {rich('{maxX} ± {errorMm}, computed', {
                    maxX: saySizeMm(cut.maxX - cut.minX, cut.maxY - cut.minY),
                    errorMm,
                  })}
                </Figure>
              </td>
            </tr>
          )}
          <tr>
            <th scope="row">{say('area')}</th>
            <td>
              <Figure kind="piece-area" of={say('area')}>
                {sayAreaMm2(inNet.areaMm2)}, {traced ? say('traced') : say('computed')}
              </Figure>
            </td>
          </tr>
          {traced ? null : (
            <>
              <tr>
                <th scope="row">{say('glass seen between the leads')}</th>
                <td>
                  <Figure
                    kind="piece-sight"
                    of={say('glass seen between the leads')}
                    inputs={[
                      [say('within the centre lines'), sayAreaMm2(inNet.areaMm2)],
                      [say('leads around it'), String(inNet.leadIds.length)],
                    ]}
                  >
                    {say('{sightAreaMm2}, computed', {
                      sightAreaMm2: sayAreaMm2(inNet.sightAreaMm2),
                    })}
                  </Figure>
                </td>
              </tr>
              <tr>
                <th scope="row">{say('lead around it')}</th>
                <td>{inNet.leadIds.join(' ')}</td>
              </tr>
            </>
          )}
          {piece ? (
            <TechniqueFacts
              panelId={panel.panelId}
              pieceId={piece.pieceId}
              mark={`${panel.fullMark}.${piece.mark}`}
            />
          ) : null}
        </tbody>
      </table>
      {piece ? <WhatItShows key={piece.pieceId} piece={piece} again={bench.again} /> : null}
      {!piece && !traced ? (
        <p className="hint">
          {say('Sign the drawing, and this piece can be described and kept by its number.')}
        </p>
      ) : null}
      <p className="row also">
        <Go className="word" to={pathOf(`${panel.fullMark}.${inNet.pieceId}`, 'work')}>
          {say('work done on it')}
        </Go>
        <Go className="word" to={pathOf(`${panel.fullMark}.${inNet.pieceId}`, 'papers')}>
          {say('its records')}
        </Go>
        <Go className="word" to={pathOf(`${panel.fullMark}.${inNet.pieceId}`, 'shards')}>
          {say('its shards')}
        </Go>
        <Go className="word" to={pathOf(panel.fullMark) + window.location.search}>
          {say('the whole panel')}
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
        <TextField
          label={say('Shows')}
          placeholder={say('face, drapery, border…')}
          value={shows}
          onValue={setShows}
        />
        <TextField
          label={say('Glass')}
          placeholder={say('green pot metal…')}
          value={glass}
          onValue={setGlass}
        />
      </div>
      {changed ? (
        <button type="submit" disabled={busy}>
          {say('Keep what it shows')}
        </button>
      ) : null}
      <Refusal why={why} />
    </form>
  );
}
