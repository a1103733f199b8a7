export interface Clipping {
  /** Share of pixels of which a channel is at its upper end: what was brighter there is lost. */
  readonly brightShare: number;
  /** Share of pixels of which every channel is at its lower end. */
  readonly darkShare: number;
}

/** Eight-bit values from which on nothing brighter, or darker, can be told apart (common practice, no source). */
const BRIGHT = 254;
const DARK = 2;

/**
 * How much of a picture is burnt out or drowned.
 *
 * @param pixels row-major, `channels` bytes a pixel, the first three red, green and blue
 */
export function clipping(pixels: ArrayLike<number>, channels: 3 | 4): Clipping {
  const count = Math.floor(pixels.length / channels);
  let bright = 0;
  let dark = 0;
  for (let i = 0; i < count * channels; i += channels) {
    const [red, green, blue] = [pixels[i]!, pixels[i + 1]!, pixels[i + 2]!];
    if (red >= BRIGHT || green >= BRIGHT || blue >= BRIGHT) bright++;
    else if (red <= DARK && green <= DARK && blue <= DARK) dark++;
  }
  return {
    brightShare: count === 0 ? 0 : bright / count,
    darkShare: count === 0 ? 0 : dark / count,
  };
}
