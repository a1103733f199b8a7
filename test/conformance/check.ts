/** One line per check; the process fails if any did. */
let failures = 0;

export function check(sentence: string, holds: boolean, detail = ''): void {
  process.stdout.write(
    `${holds ? 'ok  ' : 'FAIL'}  ${sentence}${holds || detail === '' ? '' : `\n      ${detail}`}\n`,
  );
  if (!holds) failures++;
}

export function finish(): void {
  process.exitCode = failures === 0 ? 0 : 1;
}
