/**
 * How many px of this screen are a millimetre. No browser knows it: a person holds a card against the
 * screen once, and this browser remembers.
 */
import { useState } from 'react';

/** Width of a bank card: ISO/IEC 7810, size ID-1, 85.60 × 53.98 mm. */
export const cardMm = [85.6, 53.98] as const;

/** 1 px of CSS is 1/96 inch where the screen is said rightly (CSS Values and Units, absolute lengths). */
export const saidPxPerMm = 96 / 25.4;

const place = 'px-per-mm';
/** From large print on a wall to a small phone. */
const range = [1, 16] as const;

/** What was found by the card; null: nobody has held one against this screen. */
export function usePxPerMm(): readonly [number | null, (pxPerMm: number) => void] {
  const [found, setFound] = useState(() => sound(Number(window.localStorage.getItem(place))));
  return [
    found,
    (pxPerMm) => {
      window.localStorage.setItem(place, String(pxPerMm));
      setFound(sound(pxPerMm));
    },
  ];
}

const sound = (value: number): number | null =>
  value >= range[0] && value <= range[1] ? value : null;
