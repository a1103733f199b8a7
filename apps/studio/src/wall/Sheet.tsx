import {
  type KeyboardEvent,
  type PointerEvent,
  type ReactNode,
  useCallback,
  useEffect,
  useRef,
  useState,
} from 'react';
import type { Box } from '../drawing/plane.js';
import { between, fitView, type SheetView, type Size, zoomAt } from './sheet-view.js';

export interface SheetLook extends SheetView, Size {
  /** k in steps of √2: what is drawn for a zoom need not change with every pixel of it */
  readonly kStep: number;
}

/**
 * One drawing that is moved and zoomed: drag, wheel, pinch, + and −. Flies to `box` when `boxKey`
 * changes. The children draw in mm; `over` lies on top in screen px.
 */
export function Sheet({
  box,
  boxKey,
  label,
  children,
  over,
  onKey,
  onZoomed,
}: {
  box: Box;
  boxKey: string;
  label: string;
  children: (look: SheetLook) => ReactNode;
  over?: (look: SheetLook) => ReactNode;
  onKey?: (key: string) => boolean;
  /** after a person zoomed in by hand */
  onZoomed?: (look: SheetLook) => void;
}) {
  const host = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState<Size | null>(null);
  const [view, setView] = useState<SheetView | null>(null);
  const flight = useRef(0);
  const shown = useRef<{ key: string; view: SheetView | null }>({ key: '', view: null });
  const pointers = useRef(new Map<number, { x: number; y: number }>());
  const moved = useRef(false);

  useEffect(() => {
    shown.current.view = view;
  }, [view]);

  useEffect(() => {
    const element = host.current;
    if (!element) return;
    const watch = new ResizeObserver(() => {
      setSize({ width: element.clientWidth, height: element.clientHeight });
    });
    watch.observe(element);
    return () => {
      watch.disconnect();
    };
  }, []);

  const { minX, minY, maxX, maxY } = box;
  const fly = useCallback((to: SheetView, on: Size) => {
    cancelAnimationFrame(flight.current);
    const from = shown.current.view;
    if (!from || window.matchMedia('(prefers-reduced-motion: reduce)').matches) {
      setView(to);
      return;
    }
    const start = performance.now();
    const step = (now: number) => {
      const t = Math.min(1, (now - start) / 480);
      setView(t === 1 ? to : between(from, to, t * t * (3 - 2 * t), on));
      if (t < 1) flight.current = requestAnimationFrame(step);
    };
    flight.current = requestAnimationFrame(step);
  }, []);
  useEffect(() => {
    if (!size || size.width === 0) return;
    fly(fitView({ minX, minY, maxX, maxY }, size), size);
    return () => {
      cancelAnimationFrame(flight.current);
    };
  }, [boxKey, size, minX, minY, maxX, maxY, fly]);

  const look = view && size ? lookOf(view, size) : null;
  const zoom = useCallback((factor: number, x: number, y: number) => {
    cancelAnimationFrame(flight.current);
    setView((before) => (before ? zoomAt(before, factor, x, y) : before));
  }, []);
  const told = useRef(onZoomed);
  useEffect(() => {
    told.current = onZoomed;
  });
  useEffect(() => {
    const element = host.current;
    if (!element) return;
    let timer = 0;
    const wheel = (event: WheelEvent) => {
      event.preventDefault();
      const corner = element.getBoundingClientRect();
      const step = event.deltaMode === 1 ? 20 : 1;
      const factor = Math.exp((-event.deltaY * step) / (event.ctrlKey ? 120 : 420));
      zoom(factor, event.clientX - corner.left, event.clientY - corner.top);
      window.clearTimeout(timer);
      if (factor > 1)
        timer = window.setTimeout(() => {
          const now = shown.current.view;
          if (now)
            told.current?.(
              lookOf(now, { width: element.clientWidth, height: element.clientHeight }),
            );
        }, 160);
    };
    element.addEventListener('wheel', wheel, { passive: false });
    return () => {
      window.clearTimeout(timer);
      element.removeEventListener('wheel', wheel);
    };
  }, [zoom]);

  const down = (event: PointerEvent) => {
    pointers.current.set(event.pointerId, { x: event.clientX, y: event.clientY });
    moved.current = false;
  };
  const move = (event: PointerEvent<HTMLDivElement>) => {
    const before = pointers.current.get(event.pointerId);
    if (!before) return;
    const now = { x: event.clientX, y: event.clientY };
    if (!moved.current && Math.hypot(now.x - before.x, now.y - before.y) < 5) return;
    moved.current = true;
    event.currentTarget.setPointerCapture(event.pointerId);
    const others = [...pointers.current].filter(([id]) => id !== event.pointerId);
    cancelAnimationFrame(flight.current);
    const other = others[0]?.[1];
    const corner = event.currentTarget.getBoundingClientRect();
    if (other) {
      const was = Math.hypot(before.x - other.x, before.y - other.y);
      const is = Math.hypot(now.x - other.x, now.y - other.y);
      zoom(
        is / Math.max(1, was),
        (now.x + other.x) / 2 - corner.left,
        (now.y + other.y) / 2 - corner.top,
      );
    }
    const share = other ? 0.5 : 1;
    setView(
      (v) =>
        v && { ...v, tx: v.tx + (now.x - before.x) * share, ty: v.ty + (now.y - before.y) * share },
    );
    pointers.current.set(event.pointerId, now);
  };
  const up = (event: PointerEvent) => {
    const pinched = pointers.current.size > 1;
    pointers.current.delete(event.pointerId);
    if (pinched && look) onZoomed?.(look);
  };
  const key = (event: KeyboardEvent) => {
    if (event.target !== event.currentTarget || event.ctrlKey || event.metaKey) return;
    const centre = size ?? { width: 0, height: 0 };
    if (event.key === '+' || event.key === '=') zoom(1.5, centre.width / 2, centre.height / 2);
    else if (event.key === '-') zoom(1 / 1.5, centre.width / 2, centre.height / 2);
    else if (event.key === '0' && size) fly(fitView(box, size), size);
    else if (!onKey?.(event.key)) return;
    event.preventDefault();
  };
  return (
    <div
      ref={host}
      className="sheet"
      tabIndex={0}
      role="application"
      aria-label={label}
      onPointerDown={down}
      onPointerMove={move}
      onPointerUp={up}
      onPointerCancel={up}
      onClickCapture={(event) => {
        // The click that ends a drag is no choice.
        if (moved.current) {
          event.stopPropagation();
          event.preventDefault();
          moved.current = false;
        }
      }}
      onKeyDown={key}
    >
      {look ? (
        <svg width={look.width} height={look.height} aria-hidden="true">
          <g transform={`translate(${look.tx} ${look.ty}) scale(${look.k})`}>{children(look)}</g>
        </svg>
      ) : null}
      {look && over ? over(look) : null}
    </div>
  );
}

const lookOf = (view: SheetView, size: Size): SheetLook => ({
  ...view,
  ...size,
  kStep: 2 ** (Math.round(Math.log2(view.k) * 2) / 2),
});
