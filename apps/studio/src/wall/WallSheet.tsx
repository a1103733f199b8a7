import {
  type KeyboardEvent,
  type ReactNode,
  useEffect,
  useLayoutEffect,
  useRef,
  useState,
  useSyncExternalStore,
  type WheelEvent,
} from 'react';
import type { NamedOutline, PanelPlace } from '#libs/elevation';
import type { Box } from '../drawing/plane.js';
import { FirstLook } from './FirstLook.js';
import type { Hatch } from './hatches.js';
import { useFirstView } from './use-first-view.js';
import { useMapEngine } from './use-map-engine.js';
import type { WallLook } from './wall-ink.js';
import type { HungRow, HungWindow } from './wall-layout.js';
import type { WallEvents, WallMap } from './wall-map.js';
import type { ToldView, WallView } from './wall-view.js';

const noneSaid: ReadonlyMap<string, ReadonlyMap<string, Hatch>> = new Map();
const noneHere: ReadonlyMap<string, Hatch> = new Map();

/**
 * The wall on the screen: drag, wheel, pinch, + and −. Flies to `box` when `boxKey` changes, or
 * begins where `told` says. What there is to see is painted at once; the map takes its place when its
 * engine is here.
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
  isComing = false,
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
  /** more of the drawing is under way: it is worth a wait before the map's engine */
  isComing?: boolean;
  onMap?: (map: WallMap | null) => void;
  /** lies on top, in px of the screen */
  over?: (view: WallView) => ReactNode;
  onKey?: (key: string) => boolean;
} & Partial<WallEvents>) {
  const host = useRef<HTMLDivElement>(null);
  const [map, setMap] = useState<WallMap | null>(null);
  const heard = useRef(events);
  const heardMap = useRef(onMap);
  const flown = useRef(false);
  useEffect(() => {
    heard.current = events;
    heardMap.current = onMap;
  });

  const [begun] = useState(told);
  const [stands, setStands] = useState(false);
  const isFirst = !stands && pair === undefined;
  const { minX, minY, maxX, maxY } = box;
  const firstView = useFirstView(host, isFirst, begun, box);
  const hasMap = map !== null;
  useLayoutEffect(() => {
    if (hasMap || !isFirst || !firstView) return;
    heard.current.onRest?.(firstView, false);
  }, [hasMap, isFirst, firstView, rows]);

  const engine = useMapEngine(isComing);
  useEffect(() => {
    if (!host.current || pair === null || !engine) return;
    const made = new engine.WallMap(
      host.current,
      {
        onPanel: (...said) => heard.current.onPanel?.(...said),
        onOpen: (...said) => heard.current.onOpen?.(...said),
        onWindow: (...said) => heard.current.onWindow?.(...said),
        onName: (...said) => heard.current.onName?.(...said),
        onRest: (...said) => heard.current.onRest?.(...said),
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
  }, [pair, engine]);

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

  useEffect(() => {
    if (!map || pair) return;
    if (!flown.current && begun) map.look([begun.xMm, begun.yMm], begun.k);
    else map.fly({ minX, minY, maxX, maxY }, flown.current);
    flown.current = true;
  }, [map, pair, begun, boxKey, minX, minY, maxX, maxY]);

  useEffect(() => {
    if (!map) return;
    let here = true;
    const done = () => {
      if (here) setStands(true);
    };
    void map.stands().then(done);
    // A view that moves is the map's own.
    const target = host.current;
    for (const input of ['wheel', 'pointerdown', 'keydown'])
      target?.addEventListener(input, done, { passive: true });
    return () => {
      here = false;
      for (const input of ['wheel', 'pointerdown', 'keydown'])
        target?.removeEventListener(input, done);
    };
  }, [map]);

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
  // What lies over the map must not keep the wheel from it.
  const roll = ({ nativeEvent: event }: WheelEvent) => {
    const viewport = host.current?.querySelector('.ol-viewport');
    if (viewport?.contains(event.target as Node) === false)
      viewport.dispatchEvent(new window.WheelEvent('wheel', event));
  };
  return (
    <div className="sheet" onWheel={roll}>
      <div
        ref={host}
        className="sheet-map"
        tabIndex={0}
        role="application"
        aria-label={label}
        onKeyDownCapture={key}
      />
      {isFirst && firstView ? (
        <FirstLook rows={rows} look={look} outlines={outlines} said={said} view={firstView} />
      ) : null}
      {over && map ? <OverMap map={map} over={over} /> : over && firstView ? over(firstView) : null}
    </div>
  );
}

/** What lies on the map goes with its view; the sheet itself is not drawn anew for it. */
function OverMap({ map, over }: { map: WallMap; over: (view: WallView) => ReactNode }) {
  return over(useSyncExternalStore(map.watchView, map.seenView));
}
