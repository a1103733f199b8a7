/** The part of libheif-js that is used; the package brings no types for its bundles. */
declare module 'libheif-js/wasm-bundle.js' {
  interface HeifImage {
    get_width(): number;
    get_height(): number;
    is_primary(): boolean;
    /** Fills `data` with RGBA; answers null when the picture cannot be decoded. */
    display(
      into: { data: Uint8ClampedArray; width: number; height: number },
      done: (shown: unknown) => void,
    ): void;
  }
  const libheif: { HeifDecoder: new () => { decode(bytes: Uint8Array): HeifImage[] } };
  export default libheif;
}
