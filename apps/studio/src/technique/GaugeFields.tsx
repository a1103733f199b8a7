import { useState } from 'react';
import type { XyMm } from '#libs/net';
import { thicknessMap } from '#libs/structure';
import { boxOf } from '../drawing/plane.js';
import { Why } from '../platform/figure/Figure.js';
import { say } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { sayFixed } from '../platform/say-number.js';
import { ThicknessPlate } from './ThicknessPlate.js';
import { type Gauged } from './technique-draft.js';

/** Thickness of a moulded glass, place by place: tap the piece or type where, then what the gauge says. */
export function GaugeFields({
  ringMm,
  gauged,
  onGauged,
}: {
  ringMm: readonly XyMm[];
  gauged: readonly Gauged[];
  onGauged: (gauged: readonly Gauged[]) => void;
}) {
  const { minX, minY } = boxOf(ringMm);
  const [fromLeft, setFromLeft] = useState('');
  const [fromTop, setFromTop] = useState('');
  const [thickness, setThickness] = useState('');
  const [x, y, mm] = [readNumber(fromLeft), readNumber(fromTop), readNumber(thickness)];
  const pending: XyMm | null = x === undefined || y === undefined ? null : [x + minX, y + minY];
  const map = gauged.length === 0 ? null : thicknessMap(gauged, ringMm);
  return (
    <div className="gauge stack">
      <ThicknessPlate
        ringMm={ringMm}
        gauged={gauged}
        pending={pending}
        onPlace={(place) => {
          setFromLeft(String(Math.round((place[0] - minX) * 10) / 10));
          setFromTop(String(Math.round((place[1] - minY) * 10) / 10));
        }}
      />
      <p role="status">
        <span>
          {map === null
            ? say('Tap the piece where it was gauged.')
            : map.from === 'surface'
              ? say('{low} to {high} mm; mean over the piece {mean} mm', {
                  low: sayFixed(map.lowMm, 1),
                  high: sayFixed(map.highMm, 1),
                  mean: sayFixed(map.meanMm, 2),
                })
              : say('{low} to {high} mm; mean of the readings {mean} mm', {
                  low: sayFixed(map.lowMm, 1),
                  high: sayFixed(map.highMm, 1),
                  mean: sayFixed(map.meanMm, 2),
                })}
        </span>{' '}
        {map === null ? null : <Why kind="thickness" of={say('Thickness of the piece')} />}
      </p>
      <div className="three">
        <NumberField label={say('From the left, mm')} value={fromLeft} onValue={setFromLeft} />
        <NumberField label={say('From the top, mm')} value={fromTop} onValue={setFromTop} />
        <NumberField label={say('The gauge says, mm')} value={thickness} onValue={setThickness} />
      </div>
      <button
        type="button"
        className="quiet"
        disabled={pending === null || mm === undefined || mm <= 0}
        onClick={() => {
          if (pending === null || mm === undefined) return;
          onGauged([...gauged, { xyMm: [pending[0], pending[1]], thicknessMm: mm }]);
          setFromLeft('');
          setFromTop('');
          setThickness('');
        }}
      >
        {say('Put this reading in')}
      </button>
      {gauged.length === 0 ? null : (
        <button
          type="button"
          className="word"
          onClick={() => {
            onGauged(gauged.slice(0, -1));
          }}
        >
          {say('take the last reading away')}
        </button>
      )}
    </div>
  );
}
