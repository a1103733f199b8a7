import './strip.css';
import { type PointerEvent, useEffect, useMemo, useRef, useState } from 'react';
import type { Happening } from '../../platform/api/windows.js';
import { rich } from '../../platform/language/rich.js';
import { say } from '../../platform/language/say.js';
import { sayDay, yearsOn } from './days.js';
import { Knowing } from './Knowing.js';
import { sayHappening } from './say-happening.js';
import {
  firstDayOf,
  justBefore,
  lanes,
  laneWords,
  perhapsBy,
  stepStop,
  stops,
  stripMarks,
} from './strip-marks.js';
import { stripScale, stripYears } from './strip-scale.js';

/** Days that the drawings show; null is today, a missing second day none. */
export interface StripDays {
  readonly at: number | null;
  readonly beside: number | null;
}

/**
 * The strip of time under the drawing: what happened, where it happened in time, and a handle that
 * sets the day of the drawing. A second handle sets the day of a drawing beside it.
 */
export function StripOfTime({
  happenings,
  today,
  days,
  known,
  onDays,
  onKnown,
}: {
  happenings: readonly Happening[];
  today: number;
  days: StripDays;
  known: string | null;
  onDays: (days: StripDays) => void;
  onKnown: (known: string | null) => void;
}) {
  const track = useRef<HTMLDivElement>(null);
  const width = useWidth(track);
  const oldest = Math.min(
    yearsOn(today, -1),
    ...happenings.map((one) => firstDayOf(one) ?? today),
    days.at ?? today,
    days.beside ?? today,
  );
  const scale = useMemo(() => stripScale(oldest, today), [oldest, today]);
  const marks = useMemo(
    () => stripMarks(happenings, scale, width === 0 ? 0.02 : 6 / width),
    [happenings, scale, width],
  );
  const stopDays = useMemo(() => stops(happenings, today), [happenings, today]);
  const held = useRef<'at' | 'beside'>('at');

  const put = (which: 'at' | 'beside', day: number) => {
    const kept = Math.min(today, Math.max(oldest, day));
    if (which === 'at') onDays({ ...days, at: kept >= today ? null : kept });
    else onDays({ ...days, beside: kept });
  };
  const dayUnder = ({ clientX }: { clientX: number }) => {
    const box = track.current?.getBoundingClientRect();
    if (!box || box.width === 0) return today;
    const place = (clientX - box.left) / box.width;
    // What happened is easier to hit than the days between.
    const near = stopDays.find((day) => Math.abs(scale.placeOf(day) - place) * box.width < 7);
    return near ?? (place > 1 - 7 / box.width ? today : scale.dayAt(place));
  };
  const grab = (event: PointerEvent<HTMLDivElement>) => {
    event.currentTarget.setPointerCapture(event.pointerId);
    const day = dayUnder(event);
    const far = (which: number) => Math.abs(scale.placeOf(which) - scale.placeOf(day));
    held.current =
      days.beside !== null && far(days.beside) < far(days.at ?? today) ? 'beside' : 'at';
    put(held.current, day);
  };
  const day = days.at ?? today;
  const last = justBefore(happenings, day);
  const perhaps = perhapsBy(happenings, day);
  return (
    <section className="strip-of-time" aria-label={say('Strip of time')}>
      <div className="strip-say">
        <p>
          {rich('happened up to {b}', {
            b: <b>{days.at === null ? say('today') : sayDay(days.at)}</b>,
          })}
          {days.beside === null ? null : (
            <>
              {rich(' and beside it up to {b}', {
                b: <b>{days.beside >= today ? say('today') : sayDay(days.beside)}</b>,
              })}
            </>
          )}
        </p>
        <Knowing known={known} today={today} onKnown={onKnown} />
        <button
          type="button"
          className="word"
          onClick={() => {
            onDays({
              ...days,
              beside: days.beside === null ? stepStop(stopDays, day, -1, today) : null,
            });
          }}
        >
          {days.beside === null ? say('two days') : say('one day only')}
        </button>
        {days.at === null ? null : (
          <button
            type="button"
            className="word"
            onClick={() => {
              onDays({ ...days, at: null });
            }}
          >
            {say('back to today')}
          </button>
        )}
      </div>
      <div className="strip-lanes" aria-hidden="true">
        {lanes.map((lane) => (
          <span key={lane}>{laneWords[lane]}</span>
        ))}
      </div>
      <div
        ref={track}
        className="strip-track"
        onPointerDown={grab}
        onPointerMove={(event) => {
          if (event.currentTarget.hasPointerCapture(event.pointerId))
            put(held.current, dayUnder(event));
        }}
      >
        <span className="strip-lead" aria-hidden="true" />
        <span
          className="strip-past"
          aria-hidden="true"
          style={{ left: percent(scale.placeOf(day)) }}
        />
        {marks.map((mark) => (
          <span
            key={`${mark.lane} ${mark.from} ${mark.to}`}
            className={`strip-mark ${mark.lane} ${mark.isSpan ? 'span' : ''}`}
            aria-hidden="true"
            style={{
              left: percent(mark.from),
              width: `max(${Math.min(9, 3 + Math.log2(mark.count))}px, ${percent(mark.to - mark.from)})`,
            }}
          />
        ))}
        {stripYears(scale, width === 0 ? 0.1 : 52 / width).map(({ year, at }) => (
          <span key={year} className="strip-year" aria-hidden="true" style={{ left: percent(at) }}>
            {year}
          </span>
        ))}
        <Handle
          label={
            days.beside === null ? say('Happened up to') : say('First drawing: happened up to')
          }
          {...{ day, oldest, today, stopDays }}
          place={scale.placeOf(day)}
          onDay={(next) => {
            put('at', next);
          }}
        />
        {days.beside === null ? null : (
          <Handle
            label={say('Second drawing: happened up to')}
            {...{ day: days.beside, oldest, today, stopDays }}
            place={scale.placeOf(days.beside)}
            second
            onDay={(next) => {
              put('beside', next);
            }}
          />
        )}
      </div>
      <p className="strip-told" aria-live="polite">
        {last.length === 0 ? say('Nothing is recorded of that time.') : sayHappening(last)}
        {perhaps.length === 0
          ? ''
          : say(
              ' {perhaps, plural, one {# more} other {# more}} may have happened by then: the date is uncertain.',
              { perhaps: perhaps.length },
            )}
      </p>
    </section>
  );
}

function Handle({
  label,
  day,
  oldest,
  today,
  stopDays,
  place,
  second = false,
  onDay,
}: {
  label: string;
  day: number;
  oldest: number;
  today: number;
  stopDays: readonly number[];
  place: number;
  second?: boolean;
  onDay: (day: number) => void;
}) {
  const next = (key: string): number | undefined => {
    if (key === 'ArrowRight' || key === 'ArrowUp') return stepStop(stopDays, day, 1, today);
    if (key === 'ArrowLeft' || key === 'ArrowDown') return stepStop(stopDays, day, -1, today);
    if (key === 'PageUp') return yearsOn(day, 1);
    if (key === 'PageDown') return yearsOn(day, -1);
    if (key === 'Home') return oldest;
    return key === 'End' ? today : undefined;
  };
  return (
    <div
      className={`strip-handle ${second ? 'second' : ''}`}
      role="slider"
      tabIndex={0}
      aria-label={say('{label}. Arrow keys go from happening to happening, page keys by a year.', {
        label,
      })}
      aria-valuemin={oldest}
      aria-valuemax={today}
      aria-valuenow={day}
      aria-valuetext={day >= today ? say('today') : sayDay(day)}
      style={{ left: percent(place) }}
      onKeyDown={(event) => {
        const to = next(event.key);
        if (to === undefined) return;
        event.preventDefault();
        event.stopPropagation();
        onDay(to);
      }}
    />
  );
}

const percent = (share: number): string => `${(share * 100).toFixed(3)}%`;

/** Width of an element, px; 0 until it is known. */
function useWidth(of: { readonly current: HTMLElement | null }): number {
  const [width, setWidth] = useState(0);
  useEffect(() => {
    if (!of.current) return;
    const watch = new ResizeObserver(([entry]) => {
      setWidth(Math.round(entry?.contentRect.width ?? 0));
    });
    watch.observe(of.current);
    return () => {
      watch.disconnect();
    };
  }, [of]);
  return width;
}
