import type { WindowPanel } from '../platform/api/windows.js';
import { ShadeDefs, shadeId } from './shades.js';
import { type Shows, shadeOf, shadesOf } from './shown.js';

/** The key to the drawing with its counts; generated from what is shown. */
export function Legend({ what, panels }: { what: Shows; panels: readonly WindowPanel[] }) {
  // Before the panels are known there is nothing to count, and nought would be a claim.
  if (panels.length === 0) return null;
  return (
    <ul className="legend" aria-label="Key to the drawing">
      {shadesOf(what).map((shade) => (
        <li key={shade.key}>
          <svg width="28" height="20" aria-hidden="true">
            <ShadeDefs prefix="legend-" scale={1} />
            <rect
              x="0.5"
              y="0.5"
              width="27"
              height="19"
              fill={`url(#legend-${shadeId(what, shade.key)})`}
              stroke="#98a2a5"
            />
          </svg>
          {shade.words} {panels.filter((panel) => shadeOf(what, panel) === shade.key).length}
        </li>
      ))}
    </ul>
  );
}
