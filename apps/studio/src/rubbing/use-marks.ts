import { useCallback, useEffect, useState } from 'react';
import { noMarks, type PictureMarks } from './picture-marks.js';

export interface MarksOf {
  readonly marks: Readonly<Record<string, PictureMarks>>;
  /** pictures that are read together */
  readonly used: readonly string[];
}

/**
 * The marks of every picture of one rubbing, kept on this computer until they are sent: a reload in
 * the middle of the tapping loses nothing.
 * @param first pictures that are used when nothing was kept
 */
export function useMarks(rubbingId: string, first: readonly string[]) {
  const key = `mullion marks ${rubbingId}`;
  const [state, setState] = useState<MarksOf>(() => kept(key) ?? { marks: {}, used: first });
  useEffect(() => {
    try {
      window.localStorage.setItem(key, JSON.stringify(state));
    } catch {
      // Private windows keep nothing; the marks then live as long as this screen.
    }
  }, [key, state]);
  const setMarks = useCallback((mediaId: string, change: (marks: PictureMarks) => PictureMarks) => {
    setState((before) => ({
      ...before,
      marks: { ...before.marks, [mediaId]: change(before.marks[mediaId] ?? noMarks) },
    }));
  }, []);
  const setUsed = useCallback((mediaId: string, isUsed: boolean) => {
    setState((before) => ({
      ...before,
      used: isUsed
        ? [...before.used.filter((other) => other !== mediaId), mediaId]
        : before.used.filter((other) => other !== mediaId),
    }));
  }, []);
  return { ...state, setMarks, setUsed };
}

function kept(key: string): MarksOf | null {
  try {
    const text = window.localStorage.getItem(key);
    return text === null ? null : (JSON.parse(text) as MarksOf);
  } catch {
    return null;
  }
}
