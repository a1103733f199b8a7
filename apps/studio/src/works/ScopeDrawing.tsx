import { useState } from 'react';
import { pathOfRings } from '../drawing/svg-plane.js';
import { ThumbFrame } from '../drawing/ThumbFrame.js';
import {
  readWindow,
  readWindows,
  type WindowAnswer,
  type WorkState,
} from '../platform/api/windows.js';
import { say } from '../platform/language/say.js';
import { useAnswer } from '../platform/use-answer.js';
import { workStates, workStateWords } from '../platform/work-state.js';
import { HatchPattern, HatchTile } from '../wall/HatchTile.js';
import { TILE_PX, workHatches } from '../wall/hatches.js';
import { shapeOf } from '../wall/window-shape.js';

/** Tiles of a hatch over the width of a window. */
const TILES_ACROSS = 60;

/**
 * The windows of a site from inside, panels by state of work; what is not in the campaign stands back.
 * A panel is chosen by a tap or by Space, for work to be written down or for what is proposed.
 */
export function ScopeDrawing({
  siteId,
  siteMark,
  scope,
  chosen,
  onToggle,
}: {
  siteId: string;
  siteMark: string;
  /** what the campaign covers; until that is known nothing is drawn that would then be exchanged under a finger */
  scope: readonly string[] | undefined;
  chosen: readonly string[];
  onToggle: (mark: string) => void;
}) {
  const found = useAnswer(`works drawing ${siteId}`, async (signal) => {
    const rows = await readWindows(siteId, signal);
    return Promise.all(rows.map((row) => readWindow(row.windowId, {}, signal)));
  });
  const [shown, setShown] = useState<string | null>(null);
  if (scope === undefined) return null;
  const windows = found.value ?? [];
  const inScope = (mark: string) =>
    scope.length === 0 || scope.some((place) => mark === place || mark.startsWith(`${place}.`));
  const window_ =
    windows.find((one) => one.mark === shown) ??
    windows.find((one) =>
      scope.some((place) => `${place}.`.startsWith(`${siteMark}.${one.mark}.`)),
    ) ??
    windows[0];
  if (!window_) return <p className="works-none">{found.why ?? say('No window is drawn yet.')}</p>;
  return (
    <div className="works-drawing">
      {windows.length > 1 ? (
        <div className="row" role="group" aria-label={say('Window')}>
          {windows.map((one) => (
            <button
              key={one.windowId}
              type="button"
              className="quiet"
              aria-pressed={one.windowId === window_.windowId}
              onClick={() => {
                setShown(one.mark);
              }}
            >
              {one.mark}
            </button>
          ))}
        </div>
      ) : null}
      <Elevation
        key={window_.windowId}
        window={window_}
        mark={`${siteMark}.${window_.mark}`}
        inScope={inScope}
        chosen={chosen}
        onToggle={onToggle}
      />
      <ul className="row works-key" aria-label={say('Key')}>
        {workStates.map((state) => (
          <li key={state}>
            <HatchTile hatch={workHatches[state]} />
            {workStateWords[state]}
          </li>
        ))}
      </ul>
    </div>
  );
}

function Elevation({
  window: shown,
  mark,
  inScope,
  chosen,
  onToggle,
}: {
  window: WindowAnswer;
  mark: string;
  inScope: (mark: string) => boolean;
  chosen: readonly string[];
  onToggle: (mark: string) => void;
}) {
  const shape = shapeOf(shown.drawing);
  if (!shape) return <p>{say('This window’s drawing cannot be drawn here.')}</p>;
  const margin = shape.widthMm * 0.02;
  const states = new Map(shown.panels.map((panel) => [panel.mark, panel.workState]));
  const begins = beginning(
    shape.places.map(({ mark: panel }) => panel).filter((panel) => inScope(`${mark}.${panel}`)),
    states,
  );
  const view = [shape.widthMm + 2 * margin, shape.heightMm + 2 * margin] as const;
  return (
    <ThumbFrame ringsMm={shape.places.map(({ ringMm }) => ringMm)} viewMm={view}>
      {(leastPx) => (
        <svg
          className="works-elevation"
          style={{ minWidth: leastPx.width, minHeight: leastPx.height }}
          viewBox={[-margin, -margin, ...view].join(' ')}
          role="group"
          aria-label={say('Panels of {mark} from inside', { mark })}
        >
          <defs>
            {workStates.map((state) => (
              <HatchPattern
                key={state}
                id={`works-${state}`}
                hatch={workHatches[state]}
                scale={shape.widthMm / TILES_ACROSS / TILE_PX}
              />
            ))}
          </defs>
          <path className="works-stone" d={pathOfRings([shape.openingMm])} />
          {shape.places.map((place) => {
            const full = `${mark}.${place.mark}`;
            const state = states.get(place.mark) ?? 'in-place';
            const isChosen = chosen.includes(full);
            const d = pathOfRings([place.ringMm]);
            return (
              <g
                key={place.mark}
                role="checkbox"
                aria-checked={isChosen}
                aria-label={`${place.mark}, ${workStateWords[state]}`}
                tabIndex={0}
                className={[
                  'works-panel',
                  inScope(full) ? '' : 'aside',
                  place.mark === begins ? 'begins' : '',
                ].join(' ')}
                onClick={() => {
                  onToggle(full);
                }}
                onKeyDown={(event) => {
                  if (event.key !== ' ' && event.key !== 'Enter') return;
                  event.preventDefault();
                  onToggle(full);
                }}
              >
                <path d={d} fill={`url(#works-${state})`} />
                {isChosen ? <path d={d} className="works-chosen" /> : null}
              </g>
            );
          })}
        </svg>
      )}
    </ThumbFrame>
  );
}

/** Where the work is: a panel on the bench, else one that is out or rebuilt, else the first of the campaign. */
function beginning(
  panels: readonly string[],
  states: ReadonlyMap<string, WorkState>,
): string | undefined {
  for (const state of ['on-bench', 'out', 'rebuilt'] as const) {
    const found = panels.find((panel) => states.get(panel) === state);
    if (found !== undefined) return found;
  }
  return panels[0];
}
