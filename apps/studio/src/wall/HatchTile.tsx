import { useId } from 'react';
import { type Hatch, hatchLine, TILE_PX } from './hatches.js';

/** A hatch as an SVG pattern; `scale` is how many units of the drawing a pixel of its tile is. */
export function HatchPattern({
  id,
  hatch,
  scale = 1,
}: {
  id: string;
  hatch: Hatch;
  scale?: number;
}) {
  const { width, cap } = hatchLine(hatch);
  return (
    <pattern
      id={id}
      width={TILE_PX}
      height={TILE_PX}
      patternUnits="userSpaceOnUse"
      patternTransform={`scale(${scale})`}
    >
      <rect width={TILE_PX} height={TILE_PX} fill={hatch.ground} />
      <path d={hatch.d} fill="none" stroke={hatch.ink} strokeWidth={width} strokeLinecap={cap} />
    </pattern>
  );
}

/** A hatch as it stands in a key. */
export function HatchTile({ hatch }: { hatch: Hatch }) {
  const id = useId();
  return (
    <svg width="28" height="20" aria-hidden="true">
      <HatchPattern id={id} hatch={hatch} />
      <rect x="0.5" y="0.5" width="27" height="19" fill={`url(#${id})`} stroke="#98a2a5" />
    </svg>
  );
}
