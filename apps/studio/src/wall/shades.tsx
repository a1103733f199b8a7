/** Fills of the elevation. Each is a hatch of its own, so that a photocopy keeps the meaning. */
import type { Shows } from './shown.js';

interface ShadeLook {
  readonly ground: string;
  readonly ink: string;
  readonly d: string;
  readonly dots?: boolean;
}

const looks: Readonly<Record<string, ShadeLook>> = {
  'work-in-place': { ground: '#3b464d', ink: '#4a565d', d: 'M4 0V8' },
  'work-out': { ground: '#0b0d0e', ink: '#6d777b', d: 'M0 8L8 0M-2 2L2-2M6 10L10 6' },
  'work-on-bench': { ground: '#e2a42b', ink: '#7a5200', d: 'M0 4H8' },
  'work-rebuilt': { ground: '#dcd6c6', ink: '#a59c86', d: 'M4 4h.01', dots: true },
  'findings-none': { ground: '#3b464d', ink: '#4a565d', d: 'M4 0V8' },
  'findings-few': { ground: '#56b4e9', ink: '#0b3d63', d: 'M0 8L8 0M-2 2L2-2M6 10L10 6' },
  'findings-many': { ground: '#d55e00', ink: '#2e1300', d: 'M0 8L8 0M0 0L8 8' },
  'drawings-none': { ground: '#3b464d', ink: '#4a565d', d: 'M4 0V8' },
  'drawings-drawn': { ground: '#e2a42b', ink: '#7a5200', d: 'M0 4H8' },
  'drawings-signed': { ground: '#dcd6c6', ink: '#a59c86', d: 'M4 4h.01', dots: true },
};

export const shadeId = (what: Shows, key: string): string => `${what}-${key}`;
export const isPale = (id: string): boolean => !/in-place|none|-out/.test(id);

/** Patterns at a fixed size on screen, whatever the zoom. */
export function ShadeDefs({ prefix, scale }: { prefix: string; scale: number }) {
  return (
    <defs>
      {Object.entries(looks).map(([id, look]) => (
        <pattern
          key={id}
          id={`${prefix}${id}`}
          width="8"
          height="8"
          patternUnits="userSpaceOnUse"
          patternTransform={`scale(${scale})`}
        >
          <rect width="8" height="8" fill={look.ground} />
          <path
            d={look.d}
            fill="none"
            stroke={look.ink}
            strokeWidth={look.dots ? 2.4 : 1.3}
            strokeLinecap={look.dots ? 'round' : 'butt'}
          />
        </pattern>
      ))}
    </defs>
  );
}
