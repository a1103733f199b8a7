/** What one class of flips came to. */
export interface FlipCount {
  name: string;
  tried: number;
  detected: number;
  located: number;
  /** what was missed, in words */
  misses: string[];
}
