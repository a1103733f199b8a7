import { type AreaWay, areaWays, BRUSH_MM } from '../findings/sketch-tool.js';
import type { FindingHand } from '../findings/use-finding.js';
import { type Keys, useKeys } from '../platform/use-keys.js';
import type { Stack } from './use-stack.js';

export interface BenchKeyActs {
  /** off: single keys do nothing (WCAG 2.2, 2.1.4) */
  readonly on: boolean;
  readonly stack: Stack;
  readonly finding: FindingHand;
  readonly onUndo: () => void;
  /** the last term again */
  readonly onAgain: () => void;
  /** the finding that is looked at, on other pieces */
  readonly onCopy: () => void;
  readonly onDone: () => void;
}

/** The bench's single keys; terms have two letters of their own and come first. */
export function useBenchKeys({
  on,
  stack,
  finding,
  onUndo,
  onAgain,
  onCopy,
  onDone,
}: BenchKeyActs): void {
  const { hand, setHand, kind, term } = finding;
  const isArea = term !== null && kind === 'area';
  const brush = (factor: number) => {
    if (isArea)
      setHand({
        brushMm: Math.min(
          BRUSH_MM.most,
          Math.max(BRUSH_MM.least, Math.round(hand.brushMm * factor)),
        ),
      });
  };
  const keys: Keys = {
    b: {
      down: () => {
        stack.hold(true);
      },
      up: () => {
        stack.hold(false);
      },
    },
    v: { down: stack.turnOver },
    u: { down: onUndo },
    q: { down: onAgain },
    c: { down: onCopy },
    a: {
      down: () => {
        const next: AreaWay = areaWays[(areaWays.indexOf(hand.areaWay) + 1) % areaWays.length]!;
        if (isArea) setHand({ areaWay: next });
      },
    },
    x: {
      down: () => {
        if (isArea) setHand({ isTaken: !hand.isTaken });
      },
    },
    n: {
      down: () => {
        if (term) setHand({ snapMm: hand.snapMm > 0 ? 0 : 3 });
      },
    },
    ',': {
      down: () => {
        brush(0.75);
      },
    },
    '.': {
      down: () => {
        brush(1.34);
      },
    },
  };
  const escape = { escape: { down: onDone } };
  useKeys(on ? { ...keys, ...escape } : escape);
}
