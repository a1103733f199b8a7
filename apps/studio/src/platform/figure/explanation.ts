/** What the "?" beside a number says of it. */
export interface Explanation {
  /** what the number is */
  readonly what: string;
  /** the formula in words */
  readonly how: string;
  /** the standard or book it follows, or that there is none */
  readonly source: string;
  /** how far off it may be, or on which side */
  readonly off: string;
}
