/** The pictures of a panel as a stack of sheets: which are seen, how strongly, on what part of the screen. */
import type { Media } from '../platform/api/media.js';

/** How a second sheet is held against the first. */
export const sheetWays = ['fade', 'swipe', 'blink'] as const;
export type SheetWay = (typeof sheetWays)[number];

export interface SheetPlan {
  readonly under: string | null;
  /** the second sheet; null: only one */
  readonly over: string | null;
  readonly way: SheetWay;
  /** of the fade: how much of the second shows; of the swipe: where the line stands; 0-1 */
  readonly ratio: number;
  /** how strongly pictures show under the drawing, 0-1 */
  readonly strength: number;
  /** the other sheet is asked for in the first one's place, as long as a key or finger holds it */
  readonly isHeld: boolean;
}

export interface SeenSheet {
  readonly mediaId: string;
  /** 0: kept ready, not seen */
  readonly opacity: number;
  /** shares of the screen's width between which it is seen */
  readonly part: readonly [number, number];
}

const whole = [0, 1] as const;

/** From below. */
export function seenSheets({ under, over, way, ratio, strength, isHeld }: SheetPlan): SeenSheet[] {
  const sheet = (mediaId: string, opacity: number, part: SeenSheet['part'] = whole) => ({
    mediaId,
    opacity,
    part,
  });
  if (under === null) return over === null ? [] : [sheet(over, strength)];
  if (over === null || over === under) return [sheet(under, strength)];
  // Held, the other sheet is seen alone and whole, whichever way they are compared.
  if (isHeld) return [sheet(under, 0), sheet(over, strength)];
  if (way === 'blink') return [sheet(under, strength), sheet(over, 0)];
  if (way === 'swipe')
    return [sheet(under, strength, [0, ratio]), sheet(over, strength, [ratio, 1])];
  return [sheet(under, strength), sheet(over, strength * ratio)];
}

/** A picture in raking light, with the lamp as one sees it in the panel's frame. */
export interface Lamp {
  readonly mediaId: string;
  /** 1-12, on a clock laid over the drawing */
  readonly clockHour: number;
}

/**
 * The raking pictures by their lamps. A picture of the other face shows left and right the other way
 * about, so its lamp changes sides with it.
 * @param drawn the face that the drawing shows
 */
export function lampsOf(media: readonly Media[], drawn: 'inside' | 'outside'): readonly Lamp[] {
  return media
    .flatMap(({ mediaId, light, face }) => {
      if (light?.kind !== 'raking') return [];
      const turned = face !== null && face !== drawn;
      return [{ mediaId, clockHour: turned ? (12 - light.clockHour) % 12 || 12 : light.clockHour }];
    })
    .sort((a, b) => a.clockHour - b.clockHour);
}

/** The lamp that stands nearest to a place on the clock. @param hour may lie between two hours */
export function nearestLamp(lamps: readonly Lamp[], hour: number): Lamp | undefined {
  const off = ({ clockHour }: Lamp) => {
    const apart = Math.abs(clockHour - hour) % 12;
    return Math.min(apart, 12 - apart);
  };
  return lamps.reduce<Lamp | undefined>(
    (best, lamp) => (best === undefined || off(lamp) < off(best) ? lamp : best),
    undefined,
  );
}

/** The hour that a hand at a place of the clock's face points to, above 0 up to 12. @param x, y from the middle, y down */
export function hourAt(x: number, y: number): number {
  const hour = (Math.atan2(x, -y) / Math.PI) * 6;
  return hour <= 0 ? hour + 12 : hour;
}
