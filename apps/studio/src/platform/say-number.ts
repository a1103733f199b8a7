/** How numbers are written on screens: unit always, no finer than measured. */

/** 1234.56 → '1 235 mm'; below 100 mm halves are kept: '68.5 mm'. Thin space between thousands. */
export function sayMm(valueMm: number): string {
  const rounded = Math.abs(valueMm) < 100 ? Math.round(valueMm * 2) / 2 : Math.round(valueMm);
  return `${sayCount(rounded)} mm`;
}

/** Glass sizes to half a millimetre: '92.0 × 68.5 mm'. */
export function saySizeMm(widthMm: number, heightMm: number): string {
  const half = (value: number) => (Math.round(value * 2) / 2).toFixed(1);
  return `${half(widthMm)} × ${half(heightMm)} mm`;
}

/** Panel and opening sizes to the millimetre: '742 × 510 mm'. */
export const sayPanelMm = (widthMm: number, heightMm: number): string =>
  `${sayCount(Math.round(widthMm))} × ${sayCount(Math.round(heightMm))} mm`;

export function sayAreaMm2(areaMm2: number): string {
  if (areaMm2 < 100) return `${Math.round(areaMm2)} mm²`;
  if (areaMm2 < 1e5) return `${(areaMm2 / 100).toFixed(areaMm2 < 1000 ? 1 : 0)} cm²`;
  return `${(areaMm2 / 1e6).toFixed(2)} m²`;
}

export const sayLengthMm = (lengthMm: number): string =>
  lengthMm < 1000 ? sayMm(lengthMm) : `${(lengthMm / 1000).toFixed(1)} m`;

/** 10482 → '10 482' with a thin no-break space. */
export function sayCount(count: number): string {
  const [whole = '', fraction] = String(count).split('.');
  const grouped = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, '\u202f') : whole;
  return fraction === undefined ? grouped : `${grouped}.${fraction}`;
}

export const sayRatio = (ratio: number): string => `${Math.round(ratio * 100)} %`;

export const countOf = (count: number, one: string, many = `${one}s`): string =>
  `${sayCount(count)} ${count === 1 ? one : many}`;

export function sayBytes(sizeBytes: number): string {
  if (sizeBytes < 1e3) return `${sizeBytes} B`;
  if (sizeBytes < 1e6) return `${Math.round(sizeBytes / 1e3)} kB`;
  if (sizeBytes < 1e9) return `${(sizeBytes / 1e6).toFixed(1)} MB`;
  return `${(sizeBytes / 1e9).toFixed(2)} GB`;
}
