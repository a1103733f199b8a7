import type { XyMm } from '../net.js';

/** Stands for the place in a sentence: its figures in the panel's frame are known only at the end. */
export const HERE = 'at ⌖';

/** The sentence with the place in the panel's frame. */
export function withPlace(sentence: string, xyMm: XyMm | null): string {
  return xyMm === null
    ? sentence
    : sentence.replace(HERE, `at ${xyMm[0].toFixed(1)}, ${xyMm[1].toFixed(1)} mm`);
}
