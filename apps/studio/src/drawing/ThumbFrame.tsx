import { type ReactNode, useLayoutEffect, useRef } from 'react';
import { boxOf, type Xy } from './plane.js';

/** What a thumb hits, in pixels of the screen. */
const THUMB_PX = 44;

/**
 * A frame that scrolls by itself, for a drawing of a window whose panels are pressed: `children` gets
 * the size from which on a thumb hits nine panels of ten. A panel with the class `begins` is what one sees first.
 */
export function ThumbFrame({
  ringsMm,
  viewMm: [widthMm, heightMm],
  chosen = null,
  maxHeight,
  children,
}: {
  /** of the panels */
  ringsMm: readonly (readonly Xy[])[];
  /** what the drawing shows, width and height */
  viewMm: readonly [number, number];
  /** of which panel `.chosen` is drawn: it is brought into view */
  chosen?: string | null;
  maxHeight?: string;
  children: (leastPx: { readonly width: number; readonly height: number }) => ReactNode;
}) {
  const pxPerMm = THUMB_PX / narrowMm(ringsMm);
  const frame = useRef<HTMLDivElement>(null);
  // without a place to begin at it is the foot, from where rows are counted
  useLayoutEffect(() => {
    if (frame.current) showBeginning(frame.current);
  }, []);
  useLayoutEffect(() => {
    if (frame.current && chosen !== null) showChosen(frame.current);
  }, [chosen]);
  return (
    <div className="thumb-frame" ref={frame} style={{ maxHeight }}>
      {children({ width: Math.round(pxPerMm * widthMm), height: Math.round(pxPerMm * heightMm) })}
    </div>
  );
}

/** Shorter side that nine panels of ten have at least. */
function narrowMm(ringsMm: readonly (readonly Xy[])[]): number {
  const sides = ringsMm
    .map((ringMm) => {
      const { minX, minY, maxX, maxY } = boxOf(ringMm);
      return Math.min(maxX - minX, maxY - minY);
    })
    .sort((a, b) => a - b);
  return sides[Math.floor(sides.length / 10)] ?? 1;
}

function showBeginning(frame: HTMLElement): void {
  const panel = frame.querySelector('.begins')?.getBoundingClientRect();
  if (panel === undefined) {
    frame.scrollTo(0, frame.scrollHeight);
    return;
  }
  const box = frame.getBoundingClientRect();
  frame.scrollBy(
    (panel.left + panel.right - box.left - box.right) / 2,
    (panel.top + panel.bottom - box.top - box.bottom) / 2,
  );
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
