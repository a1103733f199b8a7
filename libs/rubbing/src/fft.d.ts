/** The part of fft.js that is used; the package brings no types. */
declare module 'fft.js' {
  export default class Fft {
    /** @param size power of two */
    constructor(size: number);
    /** Interleaved real and imaginary parts, both arrays 2 · size long. */
    transform(out: ArrayLike<number>, data: ArrayLike<number>): void;
    inverseTransform(out: ArrayLike<number>, data: ArrayLike<number>): void;
  }
}
