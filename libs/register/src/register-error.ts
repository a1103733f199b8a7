/** Why a photograph cannot be laid under a drawing. */
export type RegisterFault =
  | 'too-few-points'
  | 'not-finite'
  | 'coincident-points'
  | 'collinear-points'
  | 'mirrored'
  | 'degenerate'
  | 'on-horizon';

export class RegisterError extends Error {
  override readonly name = 'RegisterError';
  constructor(
    readonly fault: RegisterFault,
    message: string,
  ) {
    super(message);
  }
}
