import { useEffect, useState } from 'react';
import { Refused } from './api/request.js';
import { type MarkPlace, resolveMark } from './api/sites.js';
import { reason } from './use-answer.js';

/** Marks never move, so one answer serves until the page is left. */
const known = new Map<string, MarkPlace>();

/**
 * Where a mark is. Within a panel already known (`SLM.wI.2b` → `SLM.wI.2b.17`) nothing is asked:
 * the bench stays as it is while one steps from piece to piece.
 */
export function useMarkPlace(mark: string): { value?: MarkPlace; why?: string } {
  const [answer, setAnswer] = useState<{ mark: string; why?: string }>();
  const found = known.get(mark) ?? withinPanel(mark);

  useEffect(() => {
    if (known.has(mark) || withinPanel(mark)) return;
    const leaving = new AbortController();
    findPlace(mark, leaving.signal).then(
      (place) => {
        known.set(mark, place);
        if (!leaving.signal.aborted) setAnswer({ mark });
      },
      (error: unknown) => {
        if (!leaving.signal.aborted) setAnswer({ mark, why: reason(error) });
      },
    );
    return () => {
      leaving.abort();
    };
  }, [mark]);

  if (found) return { value: found };
  return answer?.mark === mark && answer.why !== undefined ? { why: answer.why } : {};
}

/** A piece of a drawing that is not signed has no row yet: its panel is where it is. */
async function findPlace(mark: string, signal: AbortSignal): Promise<MarkPlace> {
  try {
    return await resolveMark(mark, signal);
  } catch (error) {
    const parts = mark.split('.');
    if (!(error instanceof Refused) || error.status !== 404 || parts.length < 4) throw error;
    const panel = await resolveMark(parts.slice(0, 3).join('.'), signal);
    return { ...panel, kind: 'piece', fullMark: mark };
  }
}

function withinPanel(mark: string): MarkPlace | undefined {
  const parts = mark.split('.');
  if (parts.length < 4) return undefined;
  const panel = known.get(parts.slice(0, 3).join('.'));
  return panel?.panelId ? { ...panel, kind: 'piece', fullMark: mark } : undefined;
}
