import './drawing.css';
import { useEffect, useRef } from 'react';
import { say } from '../platform/language/say.js';
import type { Xy } from './plane.js';
import { TapBoard, type TapBoardPlan, type TapLine, type TapPoint } from './tap-board.js';

const noLines: readonly TapLine[] = [];

/** The board on screen. A new `plan` makes a new board: keep it stable. */
export function TapBoardView({
  plan,
  points,
  lines = noLines,
  active,
  onPoint,
  onActive,
  label,
}: {
  plan: Omit<TapBoardPlan, 'onPoint' | 'onActive'>;
  points: readonly TapPoint[];
  lines?: readonly TapLine[];
  active: number;
  onPoint: (index: number, xy: Xy) => void;
  onActive: (index: number) => void;
  label: string;
}) {
  const target = useRef<HTMLDivElement>(null);
  const board = useRef<TapBoard>(null);
  const handlers = useRef({ onPoint, onActive });
  useEffect(() => {
    handlers.current = { onPoint, onActive };
  });

  useEffect(() => {
    if (!target.current) return;
    const made = new TapBoard(target.current, {
      ...plan,
      onPoint: (index, xy) => {
        handlers.current.onPoint(index, xy);
      },
      onActive: (index) => {
        handlers.current.onActive(index);
      },
    });
    board.current = made;
    return () => {
      board.current = null;
      made.dispose();
    };
  }, [plan]);

  useEffect(() => {
    board.current?.setPoints(points, active);
  }, [plan, points, active]);

  useEffect(() => {
    board.current?.setLines(lines);
  }, [plan, lines]);

  return (
    <div
      ref={target}
      className="plane tapping"
      tabIndex={0}
      role="application"
      aria-label={say(
        '{label}. Enter sets the point that is next, arrow keys move it, with Shift by ten, with Alt by a quarter.',
        { label },
      )}
    />
  );
}
