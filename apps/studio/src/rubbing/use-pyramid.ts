import { useEffect } from 'react';
import { TilePyramid } from '../drawing/tile-pyramid.js';
import { useAnswer } from '../platform/use-answer.js';

/** The tiles of a picture; asked for again while the worker still makes them. */
export function usePyramid(mediaId: string | null): { pyramid?: TilePyramid; why?: string } {
  const { value, why, again } = useAnswer(mediaId === null ? null : `tiles ${mediaId}`, (signal) =>
    TilePyramid.open(mediaId ?? '', signal),
  );
  const waiting = why?.includes('prepared') ?? false;
  useEffect(() => {
    if (!waiting) return;
    const timer = setInterval(again, 2000);
    return () => {
      clearInterval(timer);
    };
  }, [waiting, again]);
  if (value) return { pyramid: value };
  return why === undefined ? {} : { why };
}
