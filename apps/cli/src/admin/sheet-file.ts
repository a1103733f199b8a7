/** The recovery sheet as a file to be printed and then destroyed. */
import { rename, writeFile } from 'node:fs/promises';
import { resolve } from 'node:path';
import { type ArchiveKeys, recoverySheetOf, type SqlPool } from '#libs/archive';
import { recoverySheetPdf } from '#libs/print';
import type { Output } from '../command.js';
import { Refusal } from '../refusal.js';

export const SHEET_OPTIONS = { sheet: { type: 'string' } } as const;

const DEFAULT_FILE = 'mullion-recovery-sheet.pdf';

/** Writes the sheet whose words are still kept. @throws Refusal when there is none, or the file cannot be written */
export async function writeSheet({
  keys,
  pool,
  file = DEFAULT_FILE,
  output,
}: {
  keys: ArchiveKeys;
  pool: SqlPool;
  file: string | undefined;
  output: Output;
}): Promise<void> {
  const sheet = await keys.sheetToPrint();
  if (sheet === undefined) throw new Refusal('There are no words to print: make a new sheet.');
  const path = resolve(file);
  const draft = `${path}.part`;
  try {
    await writeFile(draft, await recoverySheetPdf(await recoverySheetOf(pool, sheet)), {
      mode: 0o600,
    });
    await rename(draft, path);
  } catch (cause) {
    throw new Refusal(
      `The recovery sheet could not be written to ${path} (${cause instanceof Error ? cause.message : String(cause)}). Its words are still kept: mullion admin recovery-sheet --sheet FILE writes it again.`,
      undefined,
      { cause },
    );
  }
  output.say(`sheet      ${path}`);
  output.note(
    'Print it, keep it away from this computer, and remove the file. Then type two of its words back, in the studio or by: mullion admin recovery-sheet --kept. That destroys the words here.',
  );
}
