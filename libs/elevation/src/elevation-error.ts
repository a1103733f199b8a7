/** Why an opening or a window cannot be drawn. */
export type ElevationFault =
  | 'bad-size'
  | 'arcs-do-not-meet'
  | 'ring-crosses'
  | 'double-mark'
  | 'outside-opening'
  | 'bad-drawing'
  | 'bad-outline';

/** A refusal with the field it is about and, where one number would mend it, that number. */
export class ElevationError extends Error {
  override readonly name = 'ElevationError';
  constructor(
    readonly fault: ElevationFault,
    message: string,
    readonly field: string | null = null,
    readonly fitsMm: number | null = null,
  ) {
    super(message);
  }
}
