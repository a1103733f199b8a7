import { EXIT, type ExitCode } from './exit-codes.js';

/** An expected end of a command that is not success: printed as one sentence, without a stack. */
export class Refusal extends Error {
  override readonly name = 'Refusal';
  constructor(
    message: string,
    readonly exitCode: ExitCode = EXIT.refused,
    options?: ErrorOptions,
  ) {
    super(message, options);
  }
}

/** The command line itself is wrong: the command's help follows the sentence. */
export class UsageError extends Refusal {
  constructor(message: string) {
    super(message, EXIT.usage);
  }
}
