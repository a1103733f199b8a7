import '../drawing/drawing.css';
import type Layer from 'ol/layer/Layer.js';
import { useEffect, useRef } from 'react';
import type { Xy } from '../drawing/plane.js';
import { boxOf } from '../drawing/plane.js';
import type { BoardScene, DrawBoardEvents } from './board-scene.js';
import { DrawBoard } from './draw-board.js';

/** The drawing board on screen; the room gets it by `onBoard`. */
export function DrawBoardView({
  scene,
  outline,
  picture,
  strength,
  label,
  events,
  onBoard,
}: {
  scene: BoardScene;
  outline: readonly Xy[];
  /** makes a layer of the picture; a new function is a new picture */
  picture: (() => Layer) | null;
  strength: number;
  label: string;
  events: DrawBoardEvents;
  onBoard: (board: DrawBoard | null) => void;
}) {
  const target = useRef<HTMLDivElement>(null);
  const board = useRef<DrawBoard>(null);
  const first = useRef({ scene, outline, onBoard });
  const handlers = useRef(events);
  useEffect(() => {
    handlers.current = events;
  });

  useEffect(() => {
    if (!target.current) return;
    const begin = first.current;
    const made = new DrawBoard(target.current, begin.scene, begin.outline, {
      onChoose: (chosen, xyMm) => {
        handlers.current.onChoose(chosen, xyMm);
      },
      onAct: (name, make) => {
        handlers.current.onAct(name, make);
      },
      onLine: (line, ended) => {
        handlers.current.onLine(line, ended);
      },
      onCut: (leadId, alongMm) => {
        handlers.current.onCut(leadId, alongMm);
      },
      onView: (resolution) => {
        handlers.current.onView(resolution);
      },
    });
    made.showBox(boxOf(begin.outline));
    target.current.focus({ preventScroll: true });
    board.current = made;
    begin.onBoard(made);
    return () => {
      begin.onBoard(null);
      board.current = null;
      made.dispose();
    };
  }, []);

  useEffect(() => {
    board.current?.setScene(scene, outline);
  }, [scene, outline]);

  useEffect(() => {
    board.current?.setPicture(picture, strength);
  }, [picture, strength]);

  return (
    <div
      ref={target}
      className="plane drawing-board"
      data-tool={scene.tool}
      tabIndex={0}
      role="application"
      aria-label={label}
    />
  );
}
