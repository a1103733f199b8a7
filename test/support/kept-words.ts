import type { Client } from './media-archive.js';

/** The words of the recovery sheet that still lie in the home. */
export async function keptWords(keeper: Client): Promise<string[]> {
  const { body } = await keeper.json<{ sheet: { words: string[] } | null }>(
    'GET',
    '/v1/archive/recovery-sheet',
  );
  if (body.sheet === null) throw new Error('no words of a recovery sheet lie in this home');
  return body.sheet.words;
}
