import { useCallback, useEffect, useRef, useState } from 'react';
import type { Net } from '#libs/net';
import type { TermSign } from '#libs/vocabulary';
import type { BenchMap } from '../drawing/bench-map.js';
import { glassOf } from '../drawing/glass-of.js';
import { glassSnap } from '../drawing/glass-snap.js';
import { pieceAt } from '../drawing/net-geometry.js';
import type { Xy } from '../drawing/plane.js';
import { type DraftKind, type FindingDraft, nothingDrawn } from './finding-draft.js';
import { type HandSettings, type SketchPlan, SketchTool } from './sketch-tool.js';

export interface Sketching {
  readonly draft: FindingDraft;
  readonly takeBack: () => void;
  readonly end: () => void;
  readonly clear: () => void;
  readonly addPoint: (xyMm: Xy) => void;
  /** hands the drawing over to `onRecord` and begins afresh; false when there is too little */
  readonly record: () => boolean;
}

/**
 * Draws on the bench while the component that uses it is on screen; keep `sign` stable.
 * @param kind null: nothing is drawn
 */
export function useSketch(
  map: BenchMap | null,
  net: Net,
  kind: DraftKind | null,
  sign: TermSign,
  hand: HandSettings,
  onRecord: SketchPlan['onRecord'],
): Sketching {
  const [draft, setDraft] = useState<FindingDraft>(() => nothingDrawn(kind ?? 'point'));
  const tool = useRef<SketchTool>(null);
  const now = useRef({ hand, onRecord });
  useEffect(() => {
    now.current = { hand, onRecord };
    tool.current?.setHand(hand);
  });
  useEffect(() => {
    if (!map || kind === null) return;
    const made = new SketchTool(
      map.map,
      {
        kind,
        sign,
        snap: glassSnap(net),
        glassAt: (xyMm) => {
          const piece = pieceAt(net, xyMm);
          return piece ? glassOf(piece) : null;
        },
        onChange: setDraft,
        onRecord: (drawn, clear) => now.current.onRecord(drawn, clear),
      },
      now.current.hand,
    );
    tool.current = made;
    map.setDrawnOn(true);
    return () => {
      tool.current = null;
      map.setDrawnOn(false);
      made.dispose();
      setDraft(nothingDrawn(kind));
    };
  }, [map, net, kind, sign]);
  return {
    draft,
    takeBack: useCallback(() => tool.current?.takeBack(), []),
    end: useCallback(() => tool.current?.end(), []),
    clear: useCallback(() => tool.current?.clear(), []),
    addPoint: useCallback((xyMm: Xy) => tool.current?.addPoint(xyMm), []),
    record: useCallback(() => tool.current?.record() ?? false, []),
  };
}
