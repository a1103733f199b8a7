import { useId } from 'react';
import type { WindowPanel } from '../platform/api/windows.js';
import { type Hatch, hatchOf, TILE_PX } from './hatches.js';
import { type Shows, shadeOf, shadesOf } from './shown.js';

/** The key to the drawing with its counts; generated from what is shown. */
export function Legend({ what, panels }: { what: Shows; panels: readonly WindowPanel[] }) {
  // Before the panels are known there is nothing to count, and nought would be a claim.
  if (panels.length === 0) return null;
  return (
    <ul className="legend" aria-label="Key to the drawing">
      {shadesOf(what).map((shade) => (
        <li key={shade.key}>
          <Tile hatch={hatchOf(what, shade.key)} />
          {shade.words} {panels.filter((panel) => shadeOf(what, panel) === shade.key).length}
        </li>
      ))}
    </ul>
  );
}

function Tile({ hatch }: { hatch: Hatch }) {
  const id = useId();
  return (
    <svg width="28" height="20" aria-hidden="true">
      <pattern id={id} width={TILE_PX} height={TILE_PX} patternUnits="userSpaceOnUse">
        <rect width={TILE_PX} height={TILE_PX} fill={hatch.ground} />
        <path
          d={hatch.d}
          fill="none"
          stroke={hatch.ink}
          strokeWidth={hatch.dots ? 2.4 : 1.3}
          strokeLinecap={hatch.dots ? 'round' : 'butt'}
        />
      </pattern>
      <rect x="0.5" y="0.5" width="27" height="19" fill={`url(#${id})`} stroke="#98a2a5" />
    </svg>
  );
}
