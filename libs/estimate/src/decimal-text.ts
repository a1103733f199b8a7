/** Decimal numbers as texts: what is counted, weighed or paid is never a floating number. */
import { Decimal } from 'decimal.js';

/** Exact sum. */
export function addDecimals(a: string, b: string): string {
  return new Decimal(a).plus(b).toFixed();
}

export function negated(a: string): string {
  return new Decimal(a).negated().toFixed();
}

/** `10` of a hundred is the ratio `0.1`. */
export function ratioOfPercent(percent: string): string {
  return new Decimal(percent).div(100).toFixed();
}

export function percentOfRatio(ratio: string): string {
  return new Decimal(ratio).times(100).toFixed();
}

/** Exact product. */
export function multiplied(a: string, b: string): string {
  return new Decimal(a).times(b).toFixed();
}

/** To six places, a half away from zero: what a price of a unit is kept to. @param b not 0 */
export function dividedBy(a: string, b: string): string {
  return new Decimal(a).div(b).toDecimalPlaces(6, Decimal.ROUND_HALF_UP).toFixed();
}
