/** The words of a recovery sheet, from the terminal or a pipe: never from the command line, where others could read them. */
import { createInterface } from 'node:readline/promises';
import { RECOVERY_WORDS, RecoveryWordsError, readRecoveryWords } from '#libs/archive';
import { Refusal } from '../refusal.js';

const LONGEST_CHARS = 10_000;

/** @throws Refusal saying which word is wrong */
export async function askRecoveryWords(): Promise<string[]> {
  const typed = process.stdin.isTTY ? await fromTerminal() : await fromPipe();
  try {
    return readRecoveryWords(typed);
  } catch (cause) {
    if (cause instanceof RecoveryWordsError) throw new Refusal(cause.message, undefined, { cause });
    throw cause;
  }
}

async function fromTerminal(): Promise<string> {
  process.stderr.write(
    `Type the ${RECOVERY_WORDS} words of the sheet in their order, any number a line (an empty line ends):\n`,
  );
  const lines = createInterface({ input: process.stdin, output: process.stderr });
  let typed = '';
  for await (const line of lines) {
    typed += `${line} `;
    if (line.trim() === '' || countWords(typed) >= RECOVERY_WORDS) break;
  }
  lines.close();
  return typed;
}

async function fromPipe(): Promise<string> {
  let typed = '';
  for await (const chunk of process.stdin.setEncoding('utf8') as AsyncIterable<string>) {
    typed += chunk;
    if (typed.length > LONGEST_CHARS) break;
  }
  return typed;
}

function countWords(typed: string): number {
  return (typed.match(/[a-z]+/gi) ?? []).length;
}
