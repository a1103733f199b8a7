/** The part of the edtf package used here; it ships no types. */
declare module 'edtf' {
  /** @throws Error for text that is no EDTF */
  export default function edtf(text: string): {
    min: number | null;
    max: number | null;
    edtf: string;
  };
}
