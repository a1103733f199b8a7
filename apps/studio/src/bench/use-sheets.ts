import { useEffect, useMemo, useRef, useState } from 'react';
import { asHomography } from '../drawing/homography.js';
import type { StackedSheet } from '../drawing/sheet-stack.js';
import { TilePyramid } from '../drawing/tile-pyramid.js';
import type { Placement } from '../platform/api/panels.js';
import { reason } from '../platform/use-answer.js';
import type { SeenSheet } from './sheets.js';

/**
 * Opens the pictures of the sheets that are seen, and of those that are kept ready; an opened one stays
 * open while the bench is. `why` when one that should be seen cannot be had.
 */
export function useSheets(
  placements: readonly Placement[],
  seen: readonly SeenSheet[],
  ready: readonly string[],
): { sheets: readonly StackedSheet[]; why: string | undefined } {
  const [opened, setOpened] = useState<ReadonlyMap<string, TilePyramid>>(new Map());
  const [failed, setFailed] = useState<ReadonlyMap<string, string>>(new Map());
  const asked = useRef(new Set<string>());
  const wanted = [...new Set([...seen.map(({ mediaId }) => mediaId), ...ready])].join(' ');
  useEffect(() => {
    for (const mediaId of wanted.split(' ').filter((id) => id !== '')) {
      if (asked.current.has(mediaId)) continue;
      asked.current.add(mediaId);
      TilePyramid.open(mediaId).then(
        (pyramid) => {
          setOpened((before) => new Map(before).set(mediaId, pyramid));
        },
        (error: unknown) => {
          // Asked for again the next time that somebody wants it.
          asked.current.delete(mediaId);
          setFailed((before) => new Map(before).set(mediaId, reason(error)));
        },
      );
    }
  }, [wanted]);
  const sheets = useMemo(
    () =>
      seen.flatMap(({ mediaId, opacity, part }): StackedSheet[] => {
        const pyramid = opened.get(mediaId);
        const placement = placements.find((one) => one.mediaId === mediaId);
        if (!pyramid || !placement) return [];
        const imageFromPanel = asHomography(placement.imageFromPanel);
        return [{ mediaId, pyramid, imageFromPanel, opacity, part }];
      }),
    [seen, opened, placements],
  );
  const missing = seen.find(({ mediaId }) => !opened.has(mediaId) && failed.has(mediaId));
  return { sheets, why: missing && failed.get(missing.mediaId) };
}
