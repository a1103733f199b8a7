import type { ReactNode } from 'react';
import type { ScaleWay } from './mark-plan.js';

/** The corners of the marks on the little sheet. */
const [A, B, C, D] = [
  [22, 14],
  [98, 14],
  [98, 62],
  [22, 62],
] as const;
type Xy = readonly [number, number];

/** A little drawing of a rubbing and what is measured on it; the words beside it say the same. */
export function ScaleDrawing({ way }: { way: ScaleWay }) {
  return (
    <svg className="scale-drawing" viewBox="0 0 120 76" aria-hidden="true">
      {way === 'flat-scan' ? <rect className="bed" x="2" y="2" width="116" height="72" /> : null}
      <path className="sheet" d="M10 5 H110 V71 H10 Z" />
      <path className="wax" d="M32 20 H88 V56 H32 Z" />
      <path className="wax thin" d="M32 38 L60 20 L88 38 L60 56 Z M46 29 L74 47 M74 29 L46 47" />
      {signs[way]}
    </svg>
  );
}

const line = (from: Xy, to: Xy) => (
  <path
    key={`${from.join()} ${to.join()}`}
    className="tape"
    d={`M${from.join(' ')} L${to.join(' ')}`}
  />
);
const cross = ([x, y]: Xy) => (
  <path key={`${x},${y}`} className="cross" d={`M${x - 4} ${y} h8 M${x} ${y - 4} v8`} />
);
const corners = [A, B, C, D].map(cross);

const signs: Readonly<Record<ScaleWay, ReactNode>> = {
  'sides-and-diagonals': (
    <>
      {[line(A, B), line(B, C), line(C, D), line(D, A), line(A, C), line(B, D)]}
      {corners}
    </>
  ),
  'any-lengths': (
    <>
      {[
        line(A, [60, 9]),
        line([60, 9], B),
        line(B, [102, 40]),
        line([102, 40], [84, 66]),
        line([84, 66], D),
        line(D, A),
        line([60, 9], [84, 66]),
        line(D, [102, 40]),
      ]}
      {[A, B, D, [60, 9] as const, [102, 40] as const, [84, 66] as const].map(cross)}
    </>
  ),
  'known-places': (
    <>
      <path className="axis" d="M32 68 V4 M6 20 H114" />
      {corners}
      {cross([102, 38])}
    </>
  ),
  'target-sheet': (
    <g className="card">
      <path d="M30 7 h60 v9 h-60 z M30 60 h60 v9 h-60 z M14 18 h9 v40 h-9 z M97 18 h9 v40 h-9 z" />
      <path
        className="tags"
        d="M34 9 h5 v5 h-5 z M57 9 h5 v5 h-5 z M80 9 h5 v5 h-5 z M34 62 h5 v5 h-5 z M57 62 h5 v5 h-5 z M80 62 h5 v5 h-5 z M16 22 h5 v5 h-5 z M16 49 h5 v5 h-5 z M99 22 h5 v5 h-5 z M99 49 h5 v5 h-5 z"
      />
    </g>
  ),
  'flat-scan': (
    <>
      <path className="light" d="M2 40 H118" />
      <path className="axis" d="M14 66 h20 M14 63 v6 M34 63 v6" />
    </>
  ),
  ruler: (
    <>
      <rect className="rule" x="18" y="60" width="84" height="8" />
      <path
        className="cross"
        d={Array.from(
          { length: 8 },
          (_, at) => `M${18 + at * 12} 60 v${at % 4 === 0 ? 6 : 4}`,
        ).join(' ')}
      />
    </>
  ),
  'two-diagonals': (
    <>
      {[line(A, C), line(B, D)]}
      {corners}
    </>
  ),
};
