import { readFile } from 'node:fs/promises';
import { Refusal } from './refusal.js';

/** @throws Refusal that names the file: not there, or no JSON. */
export async function readJson(path: string): Promise<unknown> {
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (cause) {
    throw new Refusal(
      `${path} cannot be read: check the name and that you may open it.`,
      undefined,
      { cause },
    );
  }
  try {
    return JSON.parse(text) as unknown;
  } catch (cause) {
    const reason = cause instanceof Error ? cause.message : String(cause);
    throw new Refusal(`${path} is not JSON: ${reason}.`, undefined, { cause });
  }
}
