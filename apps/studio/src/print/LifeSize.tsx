import { useState } from 'react';
import { say } from '../platform/language/say.js';
import { cardMm, saidPxPerMm } from './screen-size.js';

/** A frame to be made as large as a bank card that is held against the screen. */
export function CardFrame({
  pxPerMm,
  onFound,
}: {
  pxPerMm: number | null;
  onFound: (pxPerMm: number) => void;
}) {
  const [trial, setTrial] = useState(pxPerMm ?? saidPxPerMm);
  return (
    <section className="card-frame" aria-label={say('How large this screen is')}>
      <p>
        {say(
          'Hold any bank card against the frame and make the frame as wide as the card. This browser then shows pages in their true size on this screen.',
        )}
      </p>
      <div
        className="card"
        style={{ width: `${trial * cardMm[0]}px`, aspectRatio: `${cardMm[0]} / ${cardMm[1]}` }}
        aria-hidden="true"
      />
      <label>
        <span>{say('Width of the frame')}</span>
        <input
          type="range"
          min="2"
          max="9"
          step="0.005"
          value={trial}
          onChange={(event) => {
            setTrial(Number(event.target.value));
          }}
        />
      </label>
      <div className="row">
        <button
          type="button"
          onClick={() => {
            onFound(trial);
          }}
        >
          {say('It is as wide as the card')}
        </button>
      </div>
    </section>
  );
}
