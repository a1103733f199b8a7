import { type SubmitEvent, useState } from 'react';
import { say } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { sayFixed } from '../platform/say-number.js';
import type { FindingHand } from './use-finding.js';

/** For who has no steady hand: points by their figures, and a line on by its length and direction. */
export function NumbersForm({ finding }: { finding: FindingHand }) {
  const { sketch, kind, hand, setHand } = finding;
  const [x, setX] = useState('');
  const [y, setY] = useState('');
  const [length, setLength] = useState('');
  const [direction, setDirection] = useState('');
  const last = sketch.draft.ended ? undefined : sketch.draft.xyMm.at(-1);
  const [xMm, yMm, lengthMm, clock] = [x, y, length, direction].map(readNumber);
  const put = (event: SubmitEvent) => {
    event.preventDefault();
    if (xMm === undefined || yMm === undefined) return;
    sketch.addPoint([xMm, yMm]);
    setX('');
    setY('');
  };
  const goOn = () => {
    if (!last || lengthMm === undefined || clock === undefined) return;
    const angle = (clock / 6) * Math.PI;
    sketch.addPoint([last[0] + lengthMm * Math.sin(angle), last[1] - lengthMm * Math.cos(angle)]);
    setLength('');
  };
  return (
    <details className="by-numbers">
      <summary>{say('By numbers')}</summary>
      <form className="stack" onSubmit={put} aria-label={say('A point by numbers')}>
        <div className="two">
          <NumberField label={say('From the left, mm')} value={x} onValue={setX} />
          <NumberField label={say('From the top, mm')} value={y} onValue={setY} />
        </div>
        <div className="row">
          <button type="submit" className="quiet" disabled={xMm === undefined || yMm === undefined}>
            {say('Set this point')}
          </button>
        </div>
      </form>
      {kind === 'point' ? null : (
        <div className="stack" role="group" aria-label={say('On from the last point')}>
          <div className="two">
            <NumberField label={say('On by, mm')} value={length} onValue={setLength} />
            <NumberField
              label={say('Towards, o’clock')}
              hint={say('12 is up; 1.5 lies between 1 and 2')}
              value={direction}
              onValue={setDirection}
            />
          </div>
          <div className="row">
            <button
              type="button"
              className="quiet"
              disabled={!last || lengthMm === undefined || clock === undefined}
              onClick={goOn}
            >
              {say('Go on from the last point')}
            </button>
            <button type="button" className="quiet" onClick={sketch.end}>
              {say('That is all of it')}
            </button>
          </div>
        </div>
      )}
      <NumberField
        label={say('Pulled to joints and edges within, mm')}
        hint={say('0: not at all; Alt draws free for one stroke')}
        value={String(hand.snapMm)}
        onValue={(text) => {
          const snapMm = readNumber(text);
          if (snapMm !== undefined && snapMm >= 0 && snapMm <= 20) setHand({ snapMm });
        }}
      />
      {sketch.draft.xyMm.length > 0 ? (
        <p className="hint">
          {say('Last point ')}
          {sketch.draft.xyMm
            .at(-1)!
            .map((mm) => sayFixed(mm, 1))
            .join(', ')}{' '}
          mm
        </p>
      ) : null}
    </details>
  );
}
