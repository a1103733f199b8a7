import { useEffect, useRef, useState } from 'react';
import type { TermSign } from '#libs/vocabulary';
import type { BenchMap } from '../drawing/bench-map.js';
import type { Xy } from '../drawing/plane.js';
import type { SketchTool } from '../drawing/sketch-tool.js';

export interface Sketching {
  readonly xyMm: readonly Xy[];
  readonly ended: boolean;
  readonly takeBack: () => void;
  readonly end: () => void;
  readonly clear: () => void;
}

/** Draws on the bench while the component that uses it is on screen; keep `sign` stable. */
export function useSketch(
  map: BenchMap | null,
  kind: 'point' | 'line' | 'area' | null,
  sign: TermSign,
): Sketching {
  const [state, setState] = useState<{ xyMm: readonly Xy[]; ended: boolean }>({
    xyMm: [],
    ended: false,
  });
  const tool = useRef<SketchTool>(null);
  useEffect(() => {
    if (!map || kind === null) return;
    tool.current = map.startSketch({
      kind,
      sign,
      onChange: (xyMm, ended) => {
        setState({ xyMm, ended });
      },
    });
    return () => {
      tool.current = null;
      map.stopSketch();
      setState({ xyMm: [], ended: false });
    };
  }, [map, kind, sign]);
  return {
    ...state,
    takeBack: () => tool.current?.takeBack(),
    end: () => tool.current?.end(),
    clear: () => tool.current?.clear(),
  };
}
