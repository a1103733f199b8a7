import { useState } from 'react';
import type { TermSign } from '#libs/vocabulary';
import type { Bench } from '../bench/use-bench.js';
import type { BenchMap } from '../drawing/bench-map.js';
import { areaOf } from '../drawing/plane.js';
import { tracePiece } from '../platform/api/panels.js';
import { say } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { goTo } from '../platform/navigate.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { sayAreaMm2 } from '../platform/say-number.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';
import { type FindingDraft, geometriesOf } from './finding-draft.js';
import type { HandSettings } from './sketch-tool.js';
import { useSketch } from './use-sketch.js';

const sign: TermSign = { colour: 'orange', area: 'dots' };
/** Outlines of provisional pieces meet: no pull, since there is no drawing to be pulled to. */
const hand: HandSettings = { areaWay: 'lasso', brushMm: 8, isTaken: false, snapMm: 0 };

/** A provisional piece: traced over the picture before there is a signed drawing. */
export function TracePaper({ bench, map }: { bench: Bench; map: BenchMap | null }) {
  const { panel } = bench;
  const [number, setNumber] = useState('');
  const [shows, setShows] = useState('');
  const { busy, why, run } = useAct();
  const keep = (draft: FindingDraft, clear: () => void) => {
    const [drawn] = geometriesOf(draft);
    const typed = readNumber(number);
    if (drawn && !busy)
      void run(async () => {
        await tracePiece(panel.panelId, {
          ringMm: drawn.xyMm.map(([x, y]): [number, number] => [x, y]),
          ...(typed === undefined ? {} : { number: typed }),
          ...(shows === '' ? {} : { shows }),
        });
        clear();
        setNumber('');
        setShows('');
        bench.again();
      });
    // Until the archive has it, it stays on the drawing.
    return 'still drawn' as const;
  };
  const sketch = useSketch(map, bench.net, 'area', sign, hand, keep);
  const [drawn] = geometriesOf(sketch.draft);
  const ring = drawn?.xyMm ?? [];
  return (
    <form
      className="paper stack"
      onSubmit={(event) => {
        event.preventDefault();
        sketch.record();
      }}
    >
      <div>
        <h2>{say('Trace a piece')}</h2>
        <p className="sub">
          {say(
            'Its number is provisional until the drawing from the rubbing is signed; then it is carried over by overlap and you confirm.',
          )}
        </p>
      </div>
      <p className="hint">
        {say(
          'Tap along the leads round the piece and tap the first point again, or draw round it.',
        )}
      </p>
      <output className="live" aria-live="polite">
        {ring.length < 3
          ? say('{xyMm} points', { xyMm: sketch.draft.xyMm.length })
          : sayAreaMm2(areaOf(ring))}
      </output>
      <div className="two">
        <NumberField
          label={say('Number')}
          value={number}
          onValue={setNumber}
          hint={say('empty: the next one')}
        />
        <TextField label={say('Shows')} value={shows} onValue={setShows} />
      </div>
      <Refusal why={why} />
      <div className="row">
        <button type="submit" disabled={busy || ring.length < 3}>
          {say('Keep this piece')}
        </button>
        <button type="button" className="quiet" onClick={sketch.takeBack}>
          {say('Take a point back')}
        </button>
        <button
          type="button"
          className="quiet"
          onClick={() => {
            goTo(pathOf(panel.fullMark));
          }}
        >
          {say('Done')}
        </button>
      </div>
    </form>
  );
}
