/** Why a rubbing cannot be read; `message` tells the person what to do next. */
export type RubbingFault =
  | 'marks-too-few'
  | 'marks-collinear'
  | 'marks-coincident'
  | 'marks-disagree'
  | 'mark-not-found'
  | 'too-coarse'
  | 'no-leads'
  | 'image-too-small'
  | 'sheets-apart'
  | 'sheets-disagree'
  | 'sheets-ambiguous'
  | 'no-rubbing'
  | 'panel-photograph'
  | 'too-blurred';

export class RubbingError extends Error {
  override readonly name = 'RubbingError';
  constructor(
    readonly fault: RubbingFault,
    message: string,
    /** Figures and names behind the sentence, for a program. */
    readonly members: Readonly<Record<string, string | number>> = {},
  ) {
    super(message);
  }
}
