import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import {
  beginHistory,
  type Drawing,
  did,
  type History,
  type Net,
  NetError,
  openDrawing,
  redo,
  undo,
} from '#libs/net';
import { JudgeDesk, type Judged } from './judge-desk.js';

export interface DrawingDesk {
  readonly history: History<Drawing>;
  readonly drawing: Drawing;
  /** the last judgement; of an older drawing while `judging` */
  readonly judged: Judged | null;
  readonly judging: boolean;
  /** why the last act could not be done */
  readonly refused: string | null;
  readonly act: (name: string, make: () => Drawing, joinsLast?: boolean) => boolean;
  readonly undo: () => void;
  readonly redo: () => void;
  readonly startAgain: (drawing: Drawing) => void;
}

/** The drawing in the making: its history, and whether it is a net, judged beside the screen. */
export function useDrawing(net: Net, begun: History<Drawing> | null): DrawingDesk {
  const [history, setHistory] = useState(() => begun ?? beginHistory(openDrawing(net)));
  const [judged, setJudged] = useState<Judged | null>(null);
  const [refused, setRefused] = useState<string | null>(null);
  const desk = useRef<JudgeDesk>(null);
  const now = useRef(history);
  const drawing = history.present;

  useEffect(() => {
    const made = new JudgeDesk((one) => {
      // What was undone or drawn on meanwhile is judged anew: nobody should read of an old one.
      if (one.drawing === now.current.present) setJudged(one);
    }, setRefused);
    desk.current = made;
    return () => {
      desk.current = null;
      made.dispose();
    };
  }, []);
  useEffect(() => {
    desk.current?.judge(drawing, net);
  }, [drawing, net]);

  const put = useCallback((next: History<Drawing>) => {
    now.current = next;
    setHistory(next);
    setRefused(null);
  }, []);
  const act = useCallback<DrawingDesk['act']>(
    (name, make, joinsLast = false) => {
      try {
        const before = now.current;
        const made = make();
        const joins = joinsLast && before.past.at(-1)?.name === name;
        put(joins ? { ...before, present: made, future: [] } : did(before, name, made));
        return true;
      } catch (error) {
        if (!(error instanceof NetError)) throw error;
        setRefused(`${error.message.charAt(0).toUpperCase()}${error.message.slice(1)}.`);
        return false;
      }
    },
    [put],
  );
  return useMemo(
    () => ({
      history,
      drawing,
      judged,
      judging: judged?.drawing !== drawing,
      refused,
      act,
      undo: () => {
        put(undo(now.current));
      },
      redo: () => {
        put(redo(now.current));
      },
      startAgain: (begin) => {
        put(beginHistory(begin));
      },
    }),
    [history, drawing, judged, refused, act, put],
  );
}
