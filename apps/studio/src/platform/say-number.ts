/** How numbers are written on screens: unit always, no finer than measured. */
import { manner } from './language/manner.js';
import { decimalMark } from './language/tongue.js';

const MM_PER_INCH = 25.4;
const inInches = (): boolean => manner().lengths === 'inch';
/** To a hundredth of an inch, a quarter of a millimetre. */
const inches = (valueMm: number): string => sayFixed(valueMm / MM_PER_INCH, 2);

/** 1234.56 → '1 235 mm'; below 100 mm halves are kept: '68.5 mm'. Thin space between thousands. */
export function sayMm(valueMm: number): string {
  if (inInches()) return `${inches(valueMm)} in`;
  const rounded = Math.abs(valueMm) < 100 ? Math.round(valueMm * 2) / 2 : Math.round(valueMm);
  return `${sayCount(rounded)} mm`;
}

/** Glass sizes to half a millimetre: '92.0 × 68.5 mm'. */
export function saySizeMm(widthMm: number, heightMm: number): string {
  if (inInches()) return `${inches(widthMm)} × ${inches(heightMm)} in`;
  const half = (value: number) => sayFixed(Math.round(value * 2) / 2, 1);
  return `${half(widthMm)} × ${half(heightMm)} mm`;
}

/** Panel and opening sizes to the millimetre: '742 × 510 mm'. */
export const sayPanelMm = (widthMm: number, heightMm: number): string =>
  inInches()
    ? saySizeMm(widthMm, heightMm)
    : `${sayCount(Math.round(widthMm))} × ${sayCount(Math.round(heightMm))} mm`;

export function sayAreaMm2(areaMm2: number): string {
  if (inInches()) {
    const areaIn2 = areaMm2 / MM_PER_INCH ** 2;
    return areaIn2 < 144 ? `${sayFixed(areaIn2, 2)} in²` : `${sayFixed(areaIn2 / 144, 2)} ft²`;
  }
  if (areaMm2 < 100) return `${Math.round(areaMm2)} mm²`;
  if (areaMm2 < 1e5) return `${sayFixed(areaMm2 / 100, areaMm2 < 1000 ? 1 : 0)} cm²`;
  return `${sayFixed(areaMm2 / 1e6, 2)} m²`;
}

export function sayLengthMm(lengthMm: number): string {
  if (lengthMm < 1000) return sayMm(lengthMm);
  return inInches()
    ? `${sayFixed(lengthMm / MM_PER_INCH / 12, 1)} ft`
    : `${sayFixed(lengthMm / 1000, 1)} m`;
}

/** 10482 → '10 482' with a thin no-break space. */
export function sayCount(count: number): string {
  const [whole = '', fraction] = String(count).split('.');
  const grouped = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, '\u202f') : whole;
  return fraction === undefined ? grouped : `${grouped}${decimalMark()}${fraction}`;
}

/** A number to so many digits behind the mark of the chosen language. */
export const sayFixed = (value: number, digits: number): string =>
  value.toFixed(digits).replace('.', decimalMark());

export const sayRatio = (ratio: number): string => `${Math.round(ratio * 100)} %`;

export function sayBytes(sizeBytes: number): string {
  if (sizeBytes < 1e3) return `${sizeBytes} B`;
  if (sizeBytes < 1e6) return `${Math.round(sizeBytes / 1e3)} kB`;
  if (sizeBytes < 1e9) return `${sayFixed(sizeBytes / 1e6, 1)} MB`;
  return `${sayFixed(sizeBytes / 1e9, 2)} GB`;
}
