import { useLayoutEffect, useRef } from 'react';
import { CONDITION_WORDS } from '#libs/vocabulary';
import { say, sayWord } from '../platform/language/say.js';
import { type ClassText, classOf, isSeen } from './survey-draft.js';

export interface MapPanel {
  readonly panelId: string;
  readonly mark: string;
  /** flat, in the window's frame */
  readonly ringMm: readonly number[];
  readonly said: ClassText | null;
  readonly lacks: boolean;
}

/** What a thumb hits, in pixels of the screen. */
const THUMB_PX = 44;
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
  const xs = panels.flatMap(({ ringMm }) => ringMm.filter((_, i) => i % 2 === 0));
  const ys = panels.flatMap(({ ringMm }) => ringMm.filter((_, i) => i % 2 === 1));
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  const [width, height] = [Math.max(...xs) - left, Math.max(...ys) - top];
  const pad = Math.max(width, height) * 0.01;
  const [viewWidth, viewHeight] = [width + 2 * pad, height + 2 * pad];
  const thumbPx = Math.round((THUMB_PX / narrowMm(panels)) * viewWidth);
  const frame = useRef<HTMLDivElement>(null);
  // rows are counted from the foot, so that is where one begins
  useLayoutEffect(() => {
    frame.current?.scrollTo(0, frame.current.scrollHeight);
  }, []);
  useLayoutEffect(() => {
    if (frame.current && chosen !== null) showChosen(frame.current);
  }, [chosen]);
  return (
    <div className="survey-frame" ref={frame} style={{ maxHeight: TALLEST }}>
      <svg
        className="survey-map"
        style={{
          width: `max(${thumbPx}px, min(100%, calc(${TALLEST} * ${viewWidth / viewHeight})))`,
        }}
        viewBox={`${left - pad} ${top - pad} ${viewWidth} ${viewHeight}`}
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
          const figure = `${said === null ? '' : isSeen(said) ? said : '–'}${lacks ? '?' : ''}`;
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
                  : say('{shown}, said: {said}', {
                      shown: `${mark} ${figure}`,
                      said: sayWord(CONDITION_WORDS[classOf(said)].label),
                    })
              }
              className={`${said === null ? 'open' : /^\d$/.test(said) ? `class-${said}` : 'not-seen'}${panelId === chosen ? ' chosen' : ''}`}
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
    </div>
  );
}

/** Shorter side that nine panels of ten have at least. */
function narrowMm(panels: readonly MapPanel[]): number {
  const sides = panels
    .map(({ ringMm }) => {
      const span = (axis: number) => {
        const along = ringMm.filter((_, i) => i % 2 === axis);
        return Math.max(...along) - Math.min(...along);
      };
      return Math.min(span(0), span(1));
    })
    .sort((a, b) => a - b);
  return sides[Math.floor(sides.length / 10)] ?? 1;
}

/** Scrolls the frame alone: the page keeps its place. */
function showChosen(frame: HTMLElement): void {
  const panel = frame.querySelector('.chosen')?.getBoundingClientRect();
  if (panel === undefined) return;
  const box = frame.getBoundingClientRect();
  const past = (from: number, to: number, low: number, high: number) =>
    from < low ? from - low : to > high ? to - high : 0;
  frame.scrollBy(
    past(panel.left, panel.right, box.left, box.right),
    past(panel.top, panel.bottom, box.top, box.bottom),
  );
}

function pairs(flat: readonly number[]): string {
  return Array.from(
    { length: flat.length / 2 },
    (_, i) => `${flat[2 * i]},${flat[2 * i + 1]}`,
  ).join(' ');
}
