import { boxOf, pairs } from '../drawing/plane.js';
import { pathOfRings, viewBoxOf } from '../drawing/svg-plane.js';
import type { WindowPanel } from '../platform/api/windows.js';
import { say } from '../platform/language/say.js';
import type { OpeningState } from './protections.js';

/** The window's openings as they stand: glazed, closed for the time being, or open. */
export function OpeningsMap({
  panels,
  states,
  chosen,
  onTap,
}: {
  panels: readonly WindowPanel[];
  states: ReadonlyMap<string, OpeningState>;
  chosen: ReadonlySet<string>;
  onTap: (mark: string) => void;
}) {
  const rings = panels.map(({ ringMm }) => pairs(ringMm));
  const { minX, minY, maxX, maxY } = boxOf(rings.flat());
  const size = Math.max(maxX - minX, maxY - minY);
  const open = [...states.values()].filter((state) => state === 'open').length;
  return (
    <svg
      className="openings"
      viewBox={viewBoxOf(rings.flat())}
      role="img"
      aria-label={say('{open, plural, one {# opening stands open} other {# openings stand open}}', {
        open,
      })}
    >
      {panels.map(({ mark }, i) => (
        <path
          key={mark}
          className={`is-${states.get(mark) ?? 'glazed'}${chosen.has(mark) ? ' is-chosen' : ''}`}
          strokeWidth={size / (chosen.has(mark) ? 160 : 400)}
          d={pathOfRings([rings[i]!])}
          onClick={() => {
            if (states.get(mark) !== 'glazed') onTap(mark);
          }}
        />
      ))}
    </svg>
  );
}
