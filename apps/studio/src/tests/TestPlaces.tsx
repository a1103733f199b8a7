import { type KeyboardEvent, useRef } from 'react';
import type { Net } from '#libs/net';
import { panelOutline } from '../bench/traced-net.js';
import { glassOf } from '../drawing/glass-of.js';
import { boxOf, type Xy } from '../drawing/plane.js';
import { pathOfRings, placeOf, viewBoxOf } from '../drawing/svg-plane.js';
import type { Panel } from '../platform/api/panels.js';
import { say } from '../platform/language/say.js';
import { sayFixed } from '../platform/say-number.js';

export interface PlacedTest {
  readonly testId: string;
  /** as it stands in the list */
  readonly number: number;
  readonly atMm: Xy;
}

const STEP_MM = 5;
const MOVES: Readonly<Record<string, Xy>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** The panel with its pieces and the places of its tests; a tap or the arrow keys set another place. */
export function TestPlaces({
  panel,
  net,
  placed,
  atMm,
  onPlace,
}: {
  panel: Pick<Panel, 'ringMm' | 'sizes' | 'fullMark'>;
  net: Net;
  placed: readonly PlacedTest[];
  /** the place that is being said; null: none yet */
  atMm: Xy | null;
  onPlace: (atMm: Xy) => void;
}) {
  const board = useRef<SVGSVGElement>(null);
  const ring = panelOutline(panel);
  const { maxX, maxY } = boxOf(ring);
  const sizeMm = Math.max(maxX, maxY);
  const set = ([x, y]: Xy) => {
    const within = (value: number, most: number) =>
      Math.round(Math.min(most, Math.max(0, value)) * 10) / 10;
    onPlace([within(x, maxX), within(y, maxY)]);
  };
  const move = (event: KeyboardEvent) => {
    const by = MOVES[event.key];
    if (by === undefined) return;
    event.preventDefault();
    const [x, y] = atMm ?? [maxX / 2, maxY / 2];
    const stepMm = event.shiftKey ? 1 : STEP_MM;
    set([x + by[0] * stepMm, y + by[1] * stepMm]);
  };
  return (
    <>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: an application is worked by its own keys */}
      <svg
        ref={board}
        className="test-places"
        viewBox={viewBoxOf(ring, sizeMm / 40)}
        role="application"
        tabIndex={0}
        aria-label={say(
          '{mark} as seen from inside: tap where the test was made, or move the cross by arrow keys, with Shift by 1 mm',
          { mark: panel.fullMark },
        )}
        onPointerDown={(event) => {
          const place = placeOf(board.current!, event);
          if (place !== null) set(place);
        }}
        onKeyDown={move}
      >
        <path className="test-panel" d={pathOfRings([ring])} />
        {net.pieces.map((piece) => (
          <path
            key={piece.pieceId}
            className="test-piece"
            strokeWidth={sizeMm / 400}
            d={pathOfRings(glassOf(piece))}
          />
        ))}
        {placed.map(({ testId, number, atMm: [x, y] }) => (
          <g key={testId} className="test-place" transform={`translate(${x} ${y})`}>
            <circle r={sizeMm / 36} strokeWidth={sizeMm / 200} />
            <text fontSize={sizeMm / 26} dy="0.36em" textAnchor="middle">
              {number}
            </text>
          </g>
        ))}
        {atMm === null ? null : <Cross atMm={atMm} armMm={sizeMm / 22} />}
      </svg>
      <p className="hint" role="status">
        {atMm === null
          ? say('Tap the place on the drawing.')
          : say('{x} mm right and {y} mm down from the upper left corner', {
              x: sayFixed(atMm[0], 0),
              y: sayFixed(atMm[1], 0),
            })}
      </p>
    </>
  );
}

function Cross({ atMm: [x, y], armMm }: { atMm: Xy; armMm: number }) {
  const d = `M${x - armMm} ${y}H${x + armMm}M${x} ${y - armMm}V${y + armMm}`;
  return (
    <g className="test-cross">
      <path className="under" d={d} strokeWidth={armMm / 3} />
      <path d={d} strokeWidth={armMm / 7} />
    </g>
  );
}
