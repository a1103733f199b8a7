import { type RefObject, useLayoutEffect, useMemo, useState } from 'react';
import type { Box } from '../drawing/plane.js';
import { type ScreenSize, type ToldView, viewAt, viewOfBox, type WallView } from './wall-view.js';

/**
 * The view before there is a map to tell it: what a link tells, or the box whole, on a sheet of its size.
 * Null until the sheet was measured.
 *
 * @param isFirst the sheet is measured only while there is no map
 */
export function useFirstView(
  host: RefObject<HTMLElement | null>,
  isFirst: boolean,
  told: ToldView | null,
  { minX, minY, maxX, maxY }: Box,
): WallView | null {
  const [size, setSize] = useState<ScreenSize | null>(null);
  useLayoutEffect(() => {
    if (!isFirst || !host.current) return;
    const sheet = host.current;
    const measure = () => {
      const { clientWidth: width, clientHeight: height } = sheet;
      setSize((before) =>
        before?.width === width && before.height === height ? before : { width, height },
      );
    };
    measure();
    const watch = new ResizeObserver(measure);
    watch.observe(sheet);
    return () => {
      watch.disconnect();
    };
  }, [host, isFirst]);
  return useMemo(() => {
    if (size === null) return null;
    return told ? viewAt(told, size) : viewOfBox({ minX, minY, maxX, maxY }, size);
  }, [size, told, minX, minY, maxX, maxY]);
}
