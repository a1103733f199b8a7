import { type PointerEvent, useRef, useState } from 'react';
import { placeOf } from '../drawing/svg-plane.js';
import type { ShardPicture } from '../platform/api/shards.js';
import { say } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { sayFixed } from '../platform/say-number.js';
import type { Xy } from './laid.js';

/** Two taps on a ruler in the picture and the distance between them; who has no pointer types the scale itself. */
export function ScaleTaps({
  picture,
  onScale,
}: {
  picture: ShardPicture;
  onScale: (pxPerMm: number, isForAll: boolean) => void;
}) {
  const board = useRef<SVGSVGElement>(null);
  const [taps, setTaps] = useState<readonly Xy[]>([]);
  const [distance, setDistance] = useState('50');
  const { widthPx, heightPx } = picture;
  const tap = (event: PointerEvent) => {
    const place = placeOf(board.current!, event);
    if (place !== null) setTaps((before) => (before.length === 2 ? [place] : [...before, place]));
  };
  const [a, b] = taps;
  const mm = readNumber(distance);
  const pxPerMm =
    a && b && mm !== undefined && mm > 0 ? Math.hypot(b[0] - a[0], b[1] - a[1]) / mm : undefined;
  const radius = Math.max(widthPx, heightPx) / 90;
  return (
    <div className="stack">
      <p className="hint">
        {say('Tap two marks of a ruler in the picture, as far apart as you can.')}
      </p>
      <svg
        ref={board}
        className="shards-scale"
        viewBox={`0 0 ${widthPx} ${heightPx}`}
        role="img"
        aria-label={say('Picture of {shard}', { shard: picture.shard })}
        onPointerDown={tap}
      >
        <image
          href={`/iiif/3/${picture.mediaId}/full/!1600,1600/0/default.jpg`}
          width={widthPx}
          height={heightPx}
        />
        {a && b ? <line x1={a[0]} y1={a[1]} x2={b[0]} y2={b[1]} strokeWidth={radius / 2} /> : null}
        {taps.map(([x, y]) => (
          <circle key={`${x} ${y}`} cx={x} cy={y} r={radius} strokeWidth={radius / 2} />
        ))}
      </svg>
      <NumberField
        label={say('Between the two marks, mm')}
        value={distance}
        onValue={setDistance}
      />
      {pxPerMm === undefined ? null : (
        <>
          <p role="status">{say('{scale} px/mm', { scale: sayFixed(pxPerMm, 2) })}</p>
          <p className="row">
            <button
              type="button"
              onClick={() => {
                onScale(pxPerMm, true);
              }}
            >
              {say('For all pictures')}
            </button>
            <button
              type="button"
              className="quiet"
              onClick={() => {
                onScale(pxPerMm, false);
              }}
            >
              {say('Only for this one')}
            </button>
          </p>
        </>
      )}
    </div>
  );
}
