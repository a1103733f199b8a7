import './findings.css';
import { Fragment, type ReactNode } from 'react';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { Swatch } from './Swatch.js';
import { type AreaWay, areaWays, BRUSH_MM } from './sketch-tool.js';
import type { FindingHand } from './use-finding.js';

const wayWords: Readonly<Record<AreaWay, string>> = {
  lasso: say('lasso'),
  brush: say('brush'),
  piece: say('whole piece'),
};

/** What the hand needs while it draws, over the foot of the drawing; each act with its key. */
export function FindDock({
  finding,
  terms,
  onUndo,
  onDone,
}: {
  finding: FindingHand;
  /** the terms at hand */
  terms: ReactNode;
  onUndo: () => void;
  onDone: () => void;
}) {
  const { term, kind, hand, setHand, sketch, words, canRecord, state } = finding;
  if (!term) return null;
  const last = state.acts.at(-1);
  const waiting = state.items.filter(
    (item) => item.state === 'waiting' || item.state === 'sending',
  );
  const refused = state.items.filter((item) => item.state === 'refused');
  return (
    <div
      className="find-dock"
      role="group"
      aria-label={say('Drawing: {label}', { label: term.label })}
    >
      <div className="find-head">
        <p className="find-said">
          <Swatch term={term} kind={kind} />
          <b>{term.label}</b>
          <output aria-live="polite">{words}</output>
          {waiting.length > 0 ? (
            <span className="find-waiting">
              {say('{waiting, plural, one {one is} other {# are}} on the way', {
                waiting: waiting.length,
              })}
            </span>
          ) : null}
        </p>
        {terms}
      </div>
      {state.why === null ? null : (
        <p className="refused on-ground find-why" role="alert">
          {state.why}{' '}
          {waiting.length > 0 ? (
            <button
              type="button"
              className="word"
              onClick={() => {
                void finding.desk.send();
              }}
            >
              {say('send again')}
            </button>
          ) : null}
          {refused.map(({ key }) => (
            <button
              key={key}
              type="button"
              className="word"
              onClick={() => {
                finding.desk.drop(key);
              }}
            >
              {say('forget the one that was refused')}
            </button>
          ))}
        </p>
      )}
      <div className="find-acts" role="toolbar" aria-label={say('Drawing hand')}>
        <button
          type="button"
          aria-keyshortcuts="Enter"
          disabled={!canRecord}
          onClick={sketch.record}
        >
          {rich('record, go on {kbd}', { kbd: <kbd aria-hidden="true">Enter</kbd> })}
        </button>
        {kind === 'area' ? (
          <Fragment>
            {areaWays.map((way) => (
              <button
                key={way}
                type="button"
                className="quiet"
                aria-pressed={hand.areaWay === way}
                onClick={() => {
                  setHand({ areaWay: way });
                }}
              >
                {wayWords[way]}
                {hand.areaWay === way ? <kbd aria-hidden="true">A</kbd> : null}
              </button>
            ))}
            <button
              type="button"
              className="quiet"
              aria-pressed={hand.isTaken}
              aria-keyshortcuts="X"
              onClick={() => {
                setHand({ isTaken: !hand.isTaken });
              }}
            >
              {rich('take away {kbd}', { kbd: <kbd aria-hidden="true">X</kbd> })}
            </button>
            {hand.areaWay === 'brush' ? (
              <label className="find-brush">
                {hand.brushMm} mm
                <input
                  type="range"
                  aria-label={say('Width of the brush: {brushMm} mm', { brushMm: hand.brushMm })}
                  min={BRUSH_MM.least}
                  max={BRUSH_MM.most}
                  step="1"
                  value={hand.brushMm}
                  onChange={(event) => {
                    setHand({ brushMm: Number(event.target.value) });
                  }}
                />
              </label>
            ) : null}
          </Fragment>
        ) : null}
        <button
          type="button"
          className="quiet"
          aria-pressed={hand.snapMm > 0}
          aria-keyshortcuts="N"
          title={say('Pulls points to joints and to the edges of the glass; hold Alt to draw free')}
          onClick={() => {
            setHand({ snapMm: hand.snapMm > 0 ? 0 : 3 });
          }}
        >
          {rich('pull to edges {kbd}', { kbd: <kbd aria-hidden="true">N</kbd> })}
        </button>
        <button
          type="button"
          className="quiet"
          aria-keyshortcuts="Backspace"
          disabled={words === say('nothing drawn yet')}
          onClick={sketch.takeBack}
        >
          {say('step back')}
        </button>
        <button
          type="button"
          className="quiet"
          aria-keyshortcuts="U"
          disabled={!last}
          onClick={onUndo}
        >
          {rich('take back{last} ', {
            last: last ? <span className="unseen">: {last.words}</span> : null,
          })}
          <kbd aria-hidden="true">U</kbd>
        </button>
        <button type="button" className="quiet" aria-keyshortcuts="Escape" onClick={onDone}>
          {rich('done {kbd}', { kbd: <kbd aria-hidden="true">Esc</kbd> })}
        </button>
      </div>
    </div>
  );
}
