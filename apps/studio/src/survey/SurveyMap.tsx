import { say } from '../platform/language/say.js';
import type { ClassText } from './survey-draft.js';

export interface MapPanel {
  readonly panelId: string;
  readonly mark: string;
  /** flat, in the window's frame */
  readonly ringMm: readonly number[];
  readonly said: ClassText | null;
  readonly lacks: boolean;
}

/** The window with its panels: each bears its class as a figure, so that it is read without colour. */
export function SurveyMap({
  panels,
  chosen,
  onChoose,
}: {
  panels: readonly MapPanel[];
  chosen: string | null;
  onChoose: (panelId: string) => void;
}) {
  const xs = panels.flatMap(({ ringMm }) => ringMm.filter((_, i) => i % 2 === 0));
  const ys = panels.flatMap(({ ringMm }) => ringMm.filter((_, i) => i % 2 === 1));
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  const [width, height] = [Math.max(...xs) - left, Math.max(...ys) - top];
  const pad = Math.max(width, height) * 0.01;
  return (
    <svg
      className="survey-map"
      viewBox={`${left - pad} ${top - pad} ${width + 2 * pad} ${height + 2 * pad}`}
      role="group"
      aria-label={say('Panels of the window')}
    >
      {panels.map(({ panelId, mark, ringMm, said, lacks }) => {
        const x = ringMm.filter((_, i) => i % 2 === 0);
        const y = ringMm.filter((_, i) => i % 2 === 1);
        const middle = [
          (Math.min(...x) + Math.max(...x)) / 2,
          (Math.min(...y) + Math.max(...y)) / 2,
        ] as const;
        const size = Math.min(Math.max(...x) - Math.min(...x), Math.max(...y) - Math.min(...y));
        return (
          <g
            key={panelId}
            role="button"
            tabIndex={0}
            aria-pressed={panelId === chosen}
            aria-label={
              said === null
                ? say('{mark}, nothing said yet', { mark })
                : say('{mark}, said: {said}', { mark, said })
            }
            className={`${said === null ? 'open' : /^\d$/.test(said) ? `class-${said}` : 'unseen'}${panelId === chosen ? ' chosen' : ''}`}
            onClick={() => {
              onChoose(panelId);
            }}
            onKeyDown={(event) => {
              if (event.key !== 'Enter' && event.key !== ' ') return;
              event.preventDefault();
              onChoose(panelId);
            }}
          >
            <polygon points={pairs(ringMm)} vectorEffect="non-scaling-stroke" />
            <text x={middle[0]} y={middle[1]} fontSize={size * 0.3} textAnchor="middle">
              {mark}
            </text>
            <text
              className="figure"
              x={middle[0]}
              y={middle[1] + size * 0.34}
              fontSize={size * 0.34}
              textAnchor="middle"
            >
              {said === null ? '' : /^\d$/.test(said) ? said : '–'}
              {lacks ? '?' : ''}
            </text>
          </g>
        );
      })}
    </svg>
  );
}

function pairs(flat: readonly number[]): string {
  return Array.from(
    { length: flat.length / 2 },
    (_, i) => `${flat[2 * i]},${flat[2 * i + 1]}`,
  ).join(' ');
}
