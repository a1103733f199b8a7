import { useEffect, useLayoutEffect, useMemo, useRef, useState } from 'react';
import type { NamedOutline } from '#libs/elevation';
import type { Hatch } from './hatches.js';
import type { WallLook } from './wall-ink.js';
import type { HungRow } from './wall-layout.js';
import { WallPainter, watchLetters } from './wall-painter.js';
import type { WallView } from './wall-view.js';

/** The drawing itself before its map is there; nothing can be done with it but to look. */
export function FirstLook({
  rows,
  look,
  outlines,
  said,
  view,
}: {
  rows: readonly HungRow[];
  look: WallLook;
  outlines: ReadonlyMap<string, readonly NamedOutline[]>;
  said: ReadonlyMap<string, ReadonlyMap<string, Hatch>>;
  view: WallView;
}) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [turn, setTurn] = useState(0);
  const painter = useMemo(() => {
    const made = new WallPainter();
    made.stand(rows);
    return made;
  }, [rows]);
  useLayoutEffect(() => {
    const context = canvas.current?.getContext('2d');
    if (!canvas.current || !context) return;
    const ratio = window.devicePixelRatio;
    canvas.current.width = Math.round(view.width * ratio);
    canvas.current.height = Math.round(view.height * ratio);
    painter.setLook(look);
    painter.paintGround(context, view, ratio);
    const pieces = painter.paintGlass(context, view, ratio, outlines, said);
    painter.paintAbove(context, view, ratio);
    canvas.current.dataset['pieces'] = String(pieces);
  }, [painter, look, outlines, said, view, turn]);
  useEffect(
    () =>
      watchLetters(() => {
        setTurn((before) => before + 1);
      }),
    [],
  );
  return <canvas ref={canvas} className="first-look" aria-hidden="true" />;
}
