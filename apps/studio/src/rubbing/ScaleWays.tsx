import { useState } from 'react';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { type ScaleWay, scaleWayHints, scaleWays, scaleWayWords } from './mark-plan.js';
import { ScaleDrawing } from './ScaleDrawing.js';

/** Where the scale of a picture comes from: each way with a little drawing; the chosen one stays. */
export function ScaleWays({
  way,
  onWay,
}: {
  way: ScaleWay | null;
  onWay: (way: ScaleWay) => void;
}) {
  const [choosing, setChoosing] = useState(false);
  if (way !== null && !choosing)
    return (
      <div className="chosen-way">
        <ScaleDrawing way={way} />
        <div>
          <b>{rich('Scale: {way}', { way: scaleWayWords[way] })}</b>
          <button
            type="button"
            className="word"
            onClick={() => {
              setChoosing(true);
            }}
          >
            {say('another way')}
          </button>
        </div>
        <p className="hint">{scaleWayHints[way]}</p>
      </div>
    );
  return (
    <fieldset className="field">
      <legend>{say('What was measured on the sheet?')}</legend>
      <div className="ways">
        {scaleWays.map((option) => (
          <button
            key={option}
            type="button"
            className="quiet way"
            aria-pressed={option === way}
            onClick={() => {
              setChoosing(false);
              onWay(option);
            }}
          >
            <ScaleDrawing way={option} />
            {scaleWayWords[option]}
          </button>
        ))}
      </div>
    </fieldset>
  );
}
