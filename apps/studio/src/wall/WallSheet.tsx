import { type KeyboardEvent, type ReactNode, useEffect, useRef, useState } from 'react';
import type { NamedOutline, PanelPlace } from '#libs/elevation';
import type { Box } from '../drawing/plane.js';
import type { Hatch } from './hatches.js';
import type { WallLook } from './wall-layers.js';
import type { HungRow, HungWindow } from './wall-layout.js';
import { type WallEvents, WallMap, type WallView } from './wall-map.js';

const noneSaid: ReadonlyMap<string, ReadonlyMap<string, Hatch>> = new Map();
const noneHere: ReadonlyMap<string, Hatch> = new Map();

/** A view that a link tells: middle in mm, px a mm. */
export interface ToldView {
  readonly xMm: number;
  readonly yMm: number;
  readonly k: number;
}

/**
 * The wall on the screen: drag, wheel, pinch, + and −. Flies to `box` when `boxKey` changes, or
 * begins where `told` says.
 */
export function WallSheet({
  rows,
  look,
  outlines,
  box,
  boxKey,
  told = null,
  label,
  chosen = null,
  said = noneSaid,
  pair,
  onMap,
  over,
  onKey,
  ...events
}: {
  rows: readonly HungRow[];
  look: WallLook;
  /** by window */
  outlines: ReadonlyMap<string, readonly NamedOutline[]>;
  box: Box;
  boxKey: string;
  told?: ToldView | null;
  label: string;
  chosen?: { at: HungWindow; place: PanelPlace } | null;
  /** hatches of pieces of which something is said, by window, then by panel and piece */
  said?: ReadonlyMap<string, ReadonlyMap<string, Hatch>>;
  /** another sheet's map: both move as one; null while it is not there yet */
  pair?: WallMap | null;
  onMap?: (map: WallMap | null) => void;
  /** lies on top, in px of the screen */
  over?: (view: WallView) => ReactNode;
  onKey?: (key: string) => boolean;
} & Partial<Omit<WallEvents, 'onView'>>) {
  const host = useRef<HTMLDivElement>(null);
  const [map, setMap] = useState<WallMap | null>(null);
  const [view, setView] = useState<WallView | null>(null);
  const heard = useRef(events);
  const heardMap = useRef(onMap);
  const flown = useRef(false);
  useEffect(() => {
    heard.current = events;
    heardMap.current = onMap;
  });

  useEffect(() => {
    if (!host.current || pair === null) return;
    const made = new WallMap(
      host.current,
      {
        onPanel: (...said) => heard.current.onPanel?.(...said),
        onOpen: (...said) => heard.current.onOpen?.(...said),
        onWindow: (...said) => heard.current.onWindow?.(...said),
        onName: (...said) => heard.current.onName?.(...said),
        onRest: (...said) => heard.current.onRest?.(...said),
        onView: setView,
      },
      pair,
    );
    setMap(made);
    heardMap.current?.(made);
    return () => {
      setMap(null);
      heardMap.current?.(null);
      flown.current = false;
      made.dispose();
    };
  }, [pair]);

  useEffect(() => {
    map?.stand(rows);
  }, [map, rows]);
  useEffect(() => {
    map?.setLook(look);
  }, [map, look]);
  useEffect(() => {
    for (const row of rows)
      for (const hung of row.windows) map?.hang(hung, outlines.get(hung.windowId));
  }, [map, rows, outlines]);
  useEffect(() => {
    for (const row of rows)
      for (const { windowId } of row.windows) map?.say(windowId, said.get(windowId) ?? noneHere);
  }, [map, rows, outlines, said]);
  const at = chosen?.at ?? null;
  const place = chosen?.place ?? null;
  useEffect(() => {
    map?.choose(at, place);
  }, [map, at, place]);

  const { minX, minY, maxX, maxY } = box;
  const first = useRef(told);
  useEffect(() => {
    if (!map || pair) return;
    if (!flown.current && first.current)
      map.look([first.current.xMm, first.current.yMm], first.current.k);
    else map.fly({ minX, minY, maxX, maxY }, flown.current);
    flown.current = true;
  }, [map, pair, boxKey, minX, minY, maxX, maxY]);

  const key = (event: KeyboardEvent) => {
    if (event.target !== event.currentTarget || event.ctrlKey || event.metaKey) return;
    if (event.key === '+' || event.key === '=') map?.zoom(1.5);
    else if (event.key === '-') map?.zoom(1 / 1.5);
    else if (event.key === '0') map?.fly(box, true);
    else if (!onKey?.(event.key)) return;
    event.preventDefault();
    // The map has keys of its own for what the wall has no use for.
    event.stopPropagation();
  };
  return (
    <div className="sheet">
      <div
        ref={host}
        className="sheet-map"
        tabIndex={0}
        role="application"
        aria-label={label}
        onKeyDownCapture={key}
      />
      {view && over ? over(view) : null}
    </div>
  );
}
