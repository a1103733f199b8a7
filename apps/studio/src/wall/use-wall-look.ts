import { useMemo } from 'react';
import type { WindowAnswer } from '../platform/api/windows.js';
import type { Showing } from './showing/showing.js';
import type { WallLook } from './wall-ink.js';

/** What the wall shows of each panel, found by its mark. */
export function useWallLook(
  showing: Showing,
  details: ReadonlyMap<string, WindowAnswer> | undefined,
  windowId: string | null,
): WallLook {
  return useMemo(
    () => ({
      showing,
      windowId,
      panels: new Map(
        [...(details ?? [])].map(([id, { panels }]) => [
          id,
          new Map(panels.map((panel) => [panel.mark, panel])),
        ]),
      ),
    }),
    [showing, details, windowId],
  );
}
