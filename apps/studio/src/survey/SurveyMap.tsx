import { CONDITION_WORDS } from '#libs/vocabulary';
import { boxOf, pairs } from '../drawing/plane.js';
import { ThumbFrame } from '../drawing/ThumbFrame.js';
import { type ClassText, classOf, isSeen } from '../platform/condition-class.js';
import { say, sayWord } from '../platform/language/say.js';

export interface MapPanel {
  readonly panelId: string;
  readonly mark: string;
  /** flat, in the window's frame */
  readonly ringMm: readonly number[];
  readonly said: ClassText | null;
  readonly lacks: boolean;
}

const TALLEST = '62vh';

/**
 * The window with its panels, large enough for a thumb in a frame that scrolls. Each bears its class
 * as a figure, so that it is read without colour.
 */
export function SurveyMap({
  panels,
  chosen,
  onChoose,
}: {
  panels: readonly MapPanel[];
  chosen: string | null;
  onChoose: (panelId: string) => void;
}) {
  const rings = panels.map(({ ringMm }) => pairs(ringMm));
  const { minX, minY, maxX, maxY } = boxOf(rings.flat());
  const pad = Math.max(maxX - minX, maxY - minY) * 0.01;
  const view = [maxX - minX + 2 * pad, maxY - minY + 2 * pad] as const;
  return (
    <ThumbFrame ringsMm={rings} viewMm={view} chosen={chosen} maxHeight={TALLEST}>
      {(leastPx) => (
        <svg
          className="survey-map"
          style={{
            width: `max(${leastPx.width}px, min(100%, calc(${TALLEST} * ${view[0] / view[1]})))`,
          }}
          viewBox={[minX - pad, minY - pad, ...view].join(' ')}
          role="group"
          aria-label={say('Panels of the window')}
        >
          {panels.map(({ panelId, mark, ringMm, said, lacks }, at) => {
            const box = boxOf(rings[at]!);
            const middle = [(box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2] as const;
            const figure = `${said === null ? '' : isSeen(said) ? said : '–'}${lacks ? '?' : ''}`;
            const size = Math.min(box.maxX - box.minX, box.maxY - box.minY);
            return (
              <g
                key={panelId}
                role="button"
                tabIndex={0}
                aria-pressed={panelId === chosen}
                aria-label={
                  said === null
                    ? say('{mark}, nothing said yet', { mark })
                    : say('{shown}, said: {said}', {
                        shown: `${mark} ${figure}`,
                        said: sayWord(CONDITION_WORDS[classOf(said)].label),
                      })
                }
                className={`${said === null ? 'open' : isSeen(said) ? `class-${said}` : 'not-seen'}${panelId === chosen ? ' chosen' : ''}`}
                onClick={() => {
                  onChoose(panelId);
                }}
                onKeyDown={(event) => {
                  if (event.key !== 'Enter' && event.key !== ' ') return;
                  event.preventDefault();
                  onChoose(panelId);
                }}
              >
                <polygon points={ringMm.join(' ')} vectorEffect="non-scaling-stroke" />
                <text x={middle[0]} y={middle[1]} fontSize={size * 0.3} textAnchor="middle">
                  {mark}
                </text>{' '}
                <text
                  className="figure"
                  x={middle[0]}
                  y={middle[1] + size * 0.34}
                  fontSize={size * 0.34}
                  textAnchor="middle"
                >
                  {figure}
                </text>
              </g>
            );
          })}
        </svg>
      )}
    </ThumbFrame>
  );
}
