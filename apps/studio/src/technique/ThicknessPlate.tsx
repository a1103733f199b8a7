import { type MouseEvent, useMemo } from 'react';
import type { XyMm } from '#libs/net';
import { thicknessContours, thicknessMap } from '#libs/structure';
import { boxOf } from '../drawing/plane.js';
import { pathOfRings, placeOf, viewBoxOf } from '../drawing/svg-plane.js';
import { say } from '../platform/language/say.js';
import { sayFixed } from '../platform/say-number.js';
import type { Gauged } from './technique-draft.js';

const STEPS_MM = [0.1, 0.2, 0.5, 1, 2, 5];

/** The piece by itself, large: gauge readings with their numbers, lines of one thickness. A tap is a place. */
export function ThicknessPlate({
  ringMm,
  gauged,
  pending,
  onPlace,
}: {
  ringMm: readonly XyMm[];
  gauged: readonly Gauged[];
  pending: XyMm | null;
  onPlace: (place: XyMm) => void;
}) {
  const box = boxOf(ringMm);
  const size = Math.max(box.maxX - box.minX, box.maxY - box.minY);
  const lines = useMemo(() => {
    if (gauged.length === 0) return [];
    const map = thicknessMap(gauged, ringMm);
    const range = map.highMm - map.lowMm;
    const step = STEPS_MM.find((one) => range / one <= 7) ?? 10;
    return thicknessContours(map, step);
  }, [gauged, ringMm]);
  const path = (line: readonly XyMm[]) => `M${line.map(([x, y]) => `${x} ${y}`).join('L')}`;
  const tapped = (event: MouseEvent<SVGSVGElement>) => {
    const place = placeOf(event.currentTarget, event);
    if (place !== null) onPlace([Math.round(place[0] * 10) / 10, Math.round(place[1] * 10) / 10]);
  };
  return (
    <svg
      className="thickness"
      viewBox={viewBoxOf(ringMm, size * 0.06)}
      role="img"
      aria-label={say(
        '{readings, plural, one {The piece with # reading} other {The piece with # readings}}',
        { readings: gauged.length },
      )}
      onClick={tapped}
    >
      <path className="glass" d={pathOfRings([ringMm])} strokeWidth={size / 160} />
      {lines.map(({ level, line }, i) => (
        <path key={`${level} ${i}`} className="level" d={path(line)} strokeWidth={size / 300}>
          <title>{say('{mm} mm', { mm: sayFixed(level, 1) })}</title>
        </path>
      ))}
      {gauged.map(({ xyMm: [x, y], thicknessMm }) => (
        <g key={`${x} ${y} ${thicknessMm}`}>
          <circle cx={x} cy={y} r={size / 80} />
          <text x={x} y={y - size / 45} fontSize={size / 16}>
            {sayFixed(thicknessMm, 1)}
          </text>
        </g>
      ))}
      {pending ? (
        <path
          className="pending"
          strokeWidth={size / 120}
          d={`M${pending[0] - size / 30} ${pending[1]}h${size / 15}M${pending[0]} ${pending[1] - size / 30}v${size / 15}`}
        />
      ) : null}
    </svg>
  );
}
