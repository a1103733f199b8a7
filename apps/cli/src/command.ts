import type { ExitCode } from './exit-codes.js';

export interface Output {
  /** One line of result. */
  say(line: string): void;
  /** One line about progress or trouble. */
  note(line: string): void;
}

export interface Command {
  help: string;
  run(args: readonly string[], output: Output): Promise<ExitCode>;
}
