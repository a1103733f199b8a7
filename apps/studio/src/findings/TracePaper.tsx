import { type SubmitEvent, useState } from 'react';
import type { TermSign } from '#libs/vocabulary';
import type { Bench } from '../bench/use-bench.js';
import type { BenchMap } from '../drawing/bench-map.js';
import { areaOf } from '../drawing/plane.js';
import { tracePiece } from '../platform/api/panels.js';
import { Field } from '../platform/Field.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { goTo } from '../platform/navigate.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { sayAreaMm2 } from '../platform/say-number.js';
import { useAct } from '../platform/use-act.js';
import { useSketch } from './use-sketch.js';

const sign: TermSign = { colour: 'orange', area: 'dots' };

/** A provisional piece: traced over the picture before there is a signed drawing. */
export function TracePaper({ bench, map }: { bench: Bench; map: BenchMap | null }) {
  const { panel } = bench;
  const [number, setNumber] = useState('');
  const [shows, setShows] = useState('');
  const sketch = useSketch(map, 'area', sign);
  const { busy, why, run } = useAct();
  const keep = (event: SubmitEvent) => {
    event.preventDefault();
    const typed = readNumber(number);
    void run(async () => {
      await tracePiece(panel.panelId, {
        ringMm: sketch.xyMm.map(([x, y]) => [
          Math.round(x * 1000) / 1000,
          Math.round(y * 1000) / 1000,
        ]),
        ...(typed === undefined ? {} : { number: typed }),
        ...(shows === '' ? {} : { shows }),
      });
      sketch.clear();
      setNumber('');
      setShows('');
      bench.again();
    });
  };
  return (
    <form className="paper stack" onSubmit={keep}>
      <div>
        <h2>Trace a piece</h2>
        <p className="sub">
          Its number is provisional until the drawing from the rubbing is signed; then it is carried
          over by overlap and you confirm.
        </p>
      </div>
      <p className="hint">
        Tap along the leads round the piece; tap the first point again to close.
      </p>
      <output className="live" aria-live="polite">
        {sketch.xyMm.length < 3 ? `${sketch.xyMm.length} points` : sayAreaMm2(areaOf(sketch.xyMm))}
      </output>
      <div className="two">
        <NumberField label="Number" value={number} onValue={setNumber} hint="empty: the next one" />
        <Field label="Shows">
          {(ids) => (
            <input
              {...ids}
              value={shows}
              onChange={(event) => {
                setShows(event.target.value);
              }}
            />
          )}
        </Field>
      </div>
      <Refusal why={why} />
      <div className="row">
        <button type="submit" disabled={busy || sketch.xyMm.length < 3}>
          Keep this piece
        </button>
        <button type="button" className="quiet" onClick={sketch.takeBack}>
          Take a point back
        </button>
        <button
          type="button"
          className="quiet"
          onClick={() => {
            goTo(pathOf(panel.fullMark));
          }}
        >
          Done
        </button>
      </div>
    </form>
  );
}
