import { useId } from 'react';
import { type HatchLook, hatchTile } from '../drawing/hatch.js';

/** The key to a finding's drawing: line, ring or hatched field in its colour. */
export function Swatch({ look, kind }: { look: HatchLook; kind: 'point' | 'line' | 'area' }) {
  const id = useId();
  const tile = hatchTile(look.pattern);
  return (
    <svg className="swatch" width="34" height="22" viewBox="0 0 34 22" aria-hidden="true">
      {kind === 'line' ? (
        <path d="M2 5l10 6 5 5 15 3" fill="none" stroke={look.colour} strokeWidth="2.800" />
      ) : kind === 'point' ? (
        <circle
          cx="17"
          cy="11"
          r="8"
          fill={`${look.colour}33`}
          stroke={look.colour}
          strokeWidth="2.500"
        />
      ) : (
        <>
          <pattern id={id} width="9" height="9" patternUnits="userSpaceOnUse">
            <rect width="9" height="9" fill={look.colour} fillOpacity="0.2" />
            <path
              d={tile.d}
              fill="none"
              stroke={look.colour}
              strokeWidth={tile.dots ? 2.6 : 1.5}
              strokeLinecap="round"
            />
          </pattern>
          <rect
            x="1"
            y="1"
            width="32"
            height="20"
            fill={`url(#${id})`}
            stroke={look.colour}
            strokeWidth="1.500"
          />
        </>
      )}
    </svg>
  );
}
