import type { Net } from '#libs/net';
import { boxOf } from '../drawing/plane.js';
import { pathOfRings, viewBoxOf } from '../drawing/svg-plane.js';
import { ThumbFrame } from '../drawing/ThumbFrame.js';
import type { Choice } from '../platform/api/glass.js';
import { say } from '../platform/language/say.js';

/** How far apart the lines of a hatch lie, mm of the panel; each glass has an angle of its own. */
const HATCH_MM = 9;

/** The pieces of a panel with the letters of their glasses; a tap or Space takes one in hand. */
export function PiecesDrawing({
  net,
  mark,
  choices,
  letters,
  chosen,
  onToggle,
}: {
  net: Net;
  mark: string;
  choices: ReadonlyMap<string, Choice>;
  letters: ReadonlyMap<string, string>;
  chosen: readonly string[];
  onToggle: (piece: string) => void;
}) {
  const box = boxOf(net.outlineMm);
  const air = 6;
  const view = [box.maxX - box.minX + 2 * air, box.maxY - box.minY + 2 * air] as const;
  return (
    <div className="glass-drawing">
      <ThumbFrame ringsMm={net.pieces.map(({ centreRingMm }) => centreRingMm)} viewMm={view}>
        {(leastPx) => (
          <svg
            className="glass-pieces"
            style={{ minWidth: leastPx.width, minHeight: leastPx.height }}
            viewBox={viewBoxOf(net.outlineMm, air)}
            role="group"
            aria-label={say('Pieces of {mark}', { mark })}
          >
            <defs>
              {[...letters].map(([materialId], i) => (
                <pattern
                  key={materialId}
                  id={`glass-${i}`}
                  width={HATCH_MM}
                  height={HATCH_MM}
                  patternUnits="userSpaceOnUse"
                  patternTransform={`rotate(${(i * 67) % 180})`}
                >
                  <path d={`M0 0V${HATCH_MM}`} className="glass-hatch" />
                </pattern>
              ))}
            </defs>
            <path className="glass-lead" d={pathOfRings([net.outlineMm])} />
            {net.pieces.map((piece) => {
              const choice = choices.get(piece.pieceId);
              const letter = choice === undefined ? undefined : letters.get(choice.materialId);
              const nth = [...letters.keys()].indexOf(choice?.materialId ?? '');
              const isChosen = chosen.includes(piece.pieceId);
              const d = pathOfRings(piece.sightRingsMm);
              const size = Math.max(5, Math.min(22, piece.labelRadiusMm * 0.8));
              const [x, y] = piece.labelMm;
              return (
                <g
                  key={piece.pieceId}
                  role="checkbox"
                  aria-checked={isChosen}
                  aria-label={
                    choice === undefined
                      ? say('piece {piece}, no glass yet', { piece: piece.pieceId })
                      : say('piece {piece}, {glass}', {
                          piece: piece.pieceId,
                          glass: choice.sheet.name,
                        })
                  }
                  tabIndex={0}
                  className={choice?.state === 'cut' ? 'glass-piece is-cut' : 'glass-piece'}
                  onClick={() => {
                    onToggle(piece.pieceId);
                  }}
                  onKeyDown={(event) => {
                    if (event.key !== ' ' && event.key !== 'Enter') return;
                    event.preventDefault();
                    onToggle(piece.pieceId);
                  }}
                >
                  <path d={d} fillRule="evenodd" className="glass-sight" />
                  {nth === -1 ? null : <path d={d} fill={`url(#glass-${nth})`} />}
                  {isChosen ? <path d={d} className="glass-chosen" /> : null}
                  <text x={x} y={y} fontSize={size} aria-hidden="true">
                    {piece.pieceId}
                    {letter === undefined ? '' : ` ${letter}`}
                  </text>
                </g>
              );
            })}
          </svg>
        )}
      </ThumbFrame>
    </div>
  );
}
