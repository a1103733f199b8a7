import { useEffect, useState } from 'react';

type MapEngine = typeof import('./wall-map.js');

let known: MapEngine | null = null;

/** The map's engine is large: it may not keep the first look waiting for longer than this. */
const PATIENCE_MS = 1200;
/** What has been painted by then is on the screen before the engine is read. */
const PAINTED_MS = 50;

/**
 * The engine of the map once it has come; null until then.
 *
 * @param isComing more of the drawing is under way: it is worth a wait
 * @throws {Error} while rendering, when the engine does not come
 */
export function useMapEngine(isComing: boolean): MapEngine | null {
  const [engine, setEngine] = useState(known);
  const [lost, setLost] = useState<Error | null>(null);
  const [isTime, setIsTime] = useState(known !== null);
  useEffect(() => {
    if (isTime) return;
    const timer = setTimeout(
      () => {
        setIsTime(true);
      },
      isComing ? PATIENCE_MS : PAINTED_MS,
    );
    return () => {
      clearTimeout(timer);
    };
  }, [isTime, isComing]);
  useEffect(() => {
    if (!isTime || engine) return;
    let here = true;
    void import('./wall-map.js').then(
      (come) => {
        known = come;
        if (here) setEngine(come);
      },
      (error: unknown) => {
        if (here) setLost(error instanceof Error ? error : new Error(String(error)));
      },
    );
    return () => {
      here = false;
    };
  }, [isTime, engine]);
  if (lost !== null) throw lost;
  return engine;
}
