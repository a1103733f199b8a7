import { type PointerEvent, useRef, useState } from 'react';
import type { Xy } from '../drawing/plane.js';
import { pathOfRings, placeOf, viewBoxOf } from '../drawing/svg-plane.js';
import { searchPlaces } from '../platform/api/search.js';
import { type Site, siteMark } from '../platform/api/sites.js';
import { readOutline, readWindows } from '../platform/api/windows.js';
import { say } from '../platform/language/say.js';
import { sayCount } from '../platform/say-number.js';
import { useAnswer } from '../platform/use-answer.js';
import { askedOf, withFilter } from './asked.js';

/** Hits on the drawing of one window: the more, the darker; a drag asks for what lies within. */
export function FoundOnDrawing({
  fullMark,
  sites,
  words,
  onGo,
}: {
  /** of the window */
  fullMark: string;
  sites: readonly Site[];
  words: URLSearchParams;
  onGo: (words: URLSearchParams) => void;
}) {
  const [siteText, windowMark] = fullMark.split('.');
  const site = sites.find((one) => siteMark(one) === siteText);
  const windows = useAnswer(site ? `windows ${site.siteId}` : null, (signal) =>
    readWindows(site!.siteId, signal),
  );
  const windowId = windows.value?.find(({ mark }) => mark === windowMark)?.windowId;
  const outline = useAnswer(windowId ? `outline ${windowId}` : null, (signal) =>
    readOutline(windowId!, signal),
  );
  const asked = askedOf(words);
  const places = useAnswer(
    windowId ? `places ${windowId} ${JSON.stringify(asked)}` : null,
    (signal) => searchPlaces(windowId!, asked, signal),
  );
  const svg = useRef<SVGSVGElement>(null);
  const [drag, setDrag] = useState<readonly [Xy, Xy] | null>(null);
  const why = windows.why ?? outline.why ?? places.why;
  if (why) {
    return (
      <p role="alert" className="refused">
        {why}
      </p>
    );
  }
  if (!outline.value || !places.value) return <p role="status">{say('drawing…')}</p>;
  if (outline.value.length === 0) {
    return <p>{say('{fullMark} has no lead drawing yet.', { fullMark })}</p>;
  }
  const count = new Map(
    [...places.value.panels, ...places.value.pieces].map((one) => [
      one.mark.slice(fullMark.length + 1),
      one.count,
    ]),
  );
  const pieces = outline.value.filter(({ name }) => name.includes('.'));
  const panels = outline.value.filter(({ name }) => !name.includes('.'));
  const most = Math.max(1, ...pieces.map(({ name }) => count.get(name) ?? 0));
  const at = (event: PointerEvent): Xy | null => {
    const place = placeOf(svg.current!, event);
    return place && [Math.round(place[0]), Math.round(place[1])];
  };
  return (
    <figure className="found-drawing">
      <svg
        ref={svg}
        viewBox={viewBoxOf(
          panels.flatMap(({ ringsMm }) => ringsMm.flat()),
          MARGIN_MM,
        )}
        role="img"
        aria-label={say('{fullMark}: hits by piece', { fullMark })}
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          const first = at(event);
          setDrag(first && [first, first]);
        }}
        onPointerMove={(event) => {
          const next = at(event);
          if (drag && next) setDrag([drag[0], next]);
        }}
        onPointerUp={() => {
          if (drag && isArea(drag)) {
            const next = withFilter(words, 'area', cornersOf(drag));
            next.set('in', fullMark);
            onGo(next);
          }
          setDrag(null);
        }}
      >
        {panels.map(({ name, ringsMm }) => (
          <path
            key={name}
            className={count.has(name) ? 'panel-edge has-hits' : 'panel-edge'}
            d={pathOfRings(ringsMm)}
          />
        ))}
        {pieces.map(({ name, ringsMm }) => {
          const hits = count.get(name) ?? 0;
          return (
            <path
              key={name}
              className="piece"
              d={pathOfRings(ringsMm)}
              fillOpacity={hits === 0 ? 0 : 0.25 + (0.75 * hits) / most}
            >
              <title>{`${name}: ${sayCount(hits)}`}</title>
            </path>
          );
        })}
        {drag ? <path className="drawn-area" d={pathOfRings([ringOf(drag)])} /> : null}
      </svg>
      <figcaption>
        {say('Draw a rectangle to ask for what lies within it, or choose a panel.')}
        {places.value.isPart
          ? ` ${say('Of more than 10 000 hits; each count says: at least.')}`
          : ''}
      </figcaption>
      <ul className="chips" aria-label={say('Panels')}>
        {panels
          .filter(({ name }) => count.has(name))
          .map(({ name }) => (
            <li key={name}>
              <button
                type="button"
                className="chip"
                onClick={() => {
                  onGo(withFilter(words, 'mark', `${fullMark}.${name}`));
                }}
              >
                {`${name} · ${sayCount(count.get(name)!)}`}
              </button>
            </li>
          ))}
      </ul>
    </figure>
  );
}

const MARGIN_MM = 20;
const LEAST_MM = 5;

const isArea = ([a, b]: readonly [Xy, Xy]) =>
  Math.abs(a[0] - b[0]) >= LEAST_MM && Math.abs(a[1] - b[1]) >= LEAST_MM;
const ringOf = ([a, b]: readonly [Xy, Xy]): Xy[] => [a, [b[0], a[1]], b, [a[0], b[1]]];
const cornersOf = (drag: readonly [Xy, Xy]) =>
  ringOf(drag)
    .map((xy) => xy.join(','))
    .join(' ');
