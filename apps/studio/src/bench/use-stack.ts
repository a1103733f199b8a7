import { useMemo, useState } from 'react';
import type { Media } from '../platform/api/media.js';
import { setWords, useHere } from '../platform/navigate.js';
import {
  type Lamp,
  lampsOf,
  type SeenSheet,
  type SheetWay,
  seenSheets,
  sheetWays,
} from './sheets.js';
import type { Bench } from './use-bench.js';

/** The pictures of the panel as one stack; the address keeps what is seen of it. */
export interface Stack {
  /** pictures that are laid under the panel, in their order */
  readonly laid: readonly Media[];
  readonly under: Media | null;
  readonly over: Media | null;
  readonly way: SheetWay;
  /** 0-1 */
  readonly ratio: number;
  /** 0-1 */
  readonly strength: number;
  readonly lamps: readonly Lamp[];
  readonly isHeld: boolean;
  readonly hold: (isHeld: boolean) => void;
  readonly seen: readonly SeenSheet[];
  /** kept open, so that the lamp can be led round */
  readonly ready: readonly string[];
  /** the next one of the stack in place of the first */
  readonly turnOver: () => void;
  readonly relight: (mediaId: string) => void;
}

export function useStack({ panel, net }: Bench): Stack {
  const { words } = useHere();
  const [isHeld, hold] = useState(false);
  const laid = useMemo(() => {
    const placed = new Set(panel.placements.map(({ mediaId }) => mediaId));
    return panel.media.filter(({ mediaId, withdrawn }) => placed.has(mediaId) && !withdrawn);
  }, [panel]);
  const wanted = words.get('photo');
  // The picture that was laid first: what one saw yesterday is seen again today.
  const first = laid.find(({ mediaId }) => mediaId === panel.placements[0]?.mediaId) ?? laid[0];
  const under =
    wanted === 'none' ? null : (laid.find(({ mediaId }) => mediaId === wanted) ?? first ?? null);
  const second = laid.find(({ mediaId }) => mediaId === words.get('over')) ?? null;
  const over = second === under ? null : second;
  const way = sheetWays.find((one) => one === words.get('way')) ?? 'swipe';
  const ratio = share(words.get('by'), 0.5);
  const strength = share(words.get('under'), 0.7);
  const underId = under?.mediaId ?? null;
  const overId = over?.mediaId ?? null;
  const seen = useMemo(
    () => seenSheets({ under: underId, over: overId, way, ratio, strength, isHeld }),
    [underId, overId, way, ratio, strength, isHeld],
  );
  const lamps = useMemo(() => lampsOf(laid, net.face), [laid, net.face]);
  return {
    laid,
    under,
    over,
    way,
    ratio,
    strength: under || over ? strength : 0,
    lamps,
    isHeld,
    hold,
    seen,
    ready: lamps.map(({ mediaId }) => mediaId),
    turnOver: () => {
      const next = laid[(laid.findIndex(({ mediaId }) => mediaId === underId) + 1) % laid.length];
      if (next) setWords({ photo: next.mediaId });
    },
    relight: (mediaId) => {
      // Over another sheet, the lamp goes round in the sheet that is on top when that one is raking.
      const isOver = over?.light?.kind === 'raking' && under?.light?.kind !== 'raking';
      setWords(isOver ? { over: mediaId } : { photo: mediaId });
    },
  };
}

/** '40' → 0.4 */
function share(text: string | null, otherwise: number): number {
  if (text === null) return otherwise;
  const value = Number(text) / 100;
  return Number.isFinite(value) ? Math.min(1, Math.max(0, value)) : otherwise;
}
