import '../drawing/drawing.css';
import { useEffect, useRef, useState } from 'react';
import type { Net } from '#libs/net';
import { BenchMap } from '../drawing/bench-map.js';
import type { DrawnFinding } from '../drawing/findings-layer.js';
import { type NetLook, netPoints } from '../drawing/net-layers.js';
import { boxOf } from '../drawing/plane.js';
import type { StackedSheet } from '../drawing/sheet-stack.js';
import type { Doubt } from './panel-record.js';
import { ScaleBar } from './ScaleBar.js';

/** The drawing of the bench on screen; whoever draws on it gets the map by `onMap`. */
export function BenchView({
  net,
  look,
  doubts,
  findings,
  selectedFinding,
  sheets,
  why,
  focus,
  label,
  onMap,
  onPiece,
  onFinding,
  onFar,
}: {
  net: Net;
  look: NetLook;
  doubts: readonly Doubt[];
  findings: readonly DrawnFinding[];
  selectedFinding: string | null;
  /** pictures under the drawing, from below */
  sheets: readonly StackedSheet[];
  /** why a picture that should be seen is not */
  why: string | undefined;
  /** piece or place to bring into view, in panel mm; null: the whole panel */
  focus: { readonly key: string; readonly points: readonly (readonly [number, number])[] } | null;
  label: string;
  onMap: (map: BenchMap | null) => void;
  onPiece: (pieceId: string | null) => void;
  onFinding: (findingId: string) => void;
  onFar: () => void;
}) {
  const target = useRef<HTMLDivElement>(null);
  const [map, setMap] = useState<BenchMap | null>(null);
  const [hovered, setHovered] = useState<string | null>(null);
  const [resolution, setResolution] = useState(1);
  const handlers = useRef({ onMap, onPiece, onFinding, onFar });
  useEffect(() => {
    handlers.current = { onMap, onPiece, onFinding, onFar };
  });

  useEffect(() => {
    if (!target.current) return;
    const made = new BenchMap(target.current, {
      onPiece: (pieceId) => {
        handlers.current.onPiece(pieceId);
      },
      onFinding: (findingId) => {
        handlers.current.onFinding(findingId);
      },
      onHover: setHovered,
      onView: setResolution,
      onFar: () => {
        handlers.current.onFar();
      },
    });
    setMap(made);
    handlers.current.onMap(made);
    return () => {
      handlers.current.onMap(null);
      made.dispose();
    };
  }, []);

  useEffect(() => {
    if (!map) return;
    map.setNet(net);
    map.showWhole(boxOf(netPoints(net)));
  }, [map, net]);

  useEffect(() => {
    map?.setDoubts(doubts);
  }, [map, doubts]);

  useEffect(() => {
    map?.setLook({ ...look, hovered });
  }, [map, look, hovered]);

  useEffect(() => {
    map?.setFindings(findings, selectedFinding);
  }, [map, findings, selectedFinding]);

  const focusKey = focus?.key ?? null;
  useEffect(() => {
    if (!map || !focus || focus.points.length === 0) return;
    map.showPlace(focus.points);
    // The key says when it is another place.
    // eslint-disable-next-line react-hooks/exhaustive-deps
  }, [map, focusKey]);

  useEffect(() => {
    map?.setSheets(sheets);
  }, [map, sheets]);

  return (
    <>
      <div ref={target} className="plane" tabIndex={0} role="application" aria-label={label} />
      {why !== undefined ? (
        <p className="over-drawing" role="status">
          {why}
        </p>
      ) : null}
      <ScaleBar resolutionMmPerPx={resolution} />
    </>
  );
}
