/** Secrets typed in, piped in or kept in a file; never a word of the command line, which others can see. */
import { readFileSync } from 'node:fs';
import { createInterface } from 'node:readline/promises';
import { Writable } from 'node:stream';
import { Refusal } from './refusal.js';

export interface SecretSource {
  /** what is asked for, as a question */
  readonly question: string;
  /** environment variable that may hold it */
  readonly variable?: string;
  /** file that holds it in its first line */
  readonly file?: string | undefined;
  /** typed twice, when it is new */
  readonly isNew?: boolean;
  /** false: everything that is piped in, lines and all */
  readonly isOneLine?: boolean;
}

/**
 * From the file, the variable, the terminal (not shown) or standard input, in this order.
 *
 * @returns undefined when nobody is there to ask
 */
export async function readSecret({
  question,
  variable,
  file,
  isNew = false,
  isOneLine = true,
}: SecretSource): Promise<string | undefined> {
  if (file !== undefined) return firstLine(readText(file));
  const kept = variable === undefined ? undefined : process.env[variable];
  if (kept !== undefined && kept !== '') return kept;
  if (!process.stdin.isTTY) return piped(isOneLine);
  const secret = await typed(`${question}: `);
  if (isNew && secret !== (await typed('Once more: '))) {
    throw new Refusal('The two are not the same. Nothing was changed.');
  }
  return secret;
}

function readText(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (cause) {
    throw new Refusal(`${file} cannot be read (${(cause as Error).message}).`, undefined, {
      cause,
    });
  }
}

async function piped(isOneLine: boolean): Promise<string | undefined> {
  let text = '';
  for await (const part of process.stdin.setEncoding('utf8')) text += part as string;
  const secret = isOneLine ? firstLine(text) : text;
  return secret.trim() === '' ? undefined : secret.trim();
}

async function typed(question: string): Promise<string> {
  process.stderr.write(question);
  const silent = new Writable({
    write(_chunk, _encoding, done) {
      done();
    },
  });
  const asked = createInterface({ input: process.stdin, output: silent, terminal: true });
  const stop = new AbortController();
  asked.once('SIGINT', () => {
    stop.abort();
  });
  try {
    return (await asked.question('', { signal: stop.signal })).trim();
  } catch (cause) {
    throw new Refusal('Stopped. Nothing was changed.', undefined, { cause });
  } finally {
    asked.close();
    process.stderr.write('\n');
  }
}

function firstLine(text: string): string {
  return (text.split('\n')[0] ?? '').replace(/\r$/, '');
}
