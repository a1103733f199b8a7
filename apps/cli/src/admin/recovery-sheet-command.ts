import type { Command, Output } from '../command.js';
import { EXIT } from '../exit-codes.js';
import { readArguments } from '../read-arguments.js';
import { Refusal } from '../refusal.js';
import { askRecoveryWords } from './ask-words.js';
import { ARCHIVE_HELP, ARCHIVE_OPTIONS, withArchive } from './reach-archive.js';
import { SHEET_OPTIONS, writeSheet } from './sheet-file.js';

const HELP = `mullion admin recovery-sheet [--home DIR | --demo] [--sheet FILE] [--new]
mullion admin recovery-sheet --kept [--home DIR | --demo]

Writes the recovery sheet: one page with 24 words, from which the archive's next key is made when this one is
lost, and which opens backups when their passphrase is lost. Whoever holds it can sign as this archive.

While the words of a sheet still lie in the home, that sheet is written again; else a new one is made, its
key is announced in every log, and the sheet before it is void.

  --sheet FILE   where it is written (default: mullion-recovery-sheet.pdf here)
  --new          a new sheet also while the words of one are kept
  --kept         the sheet is printed and put away: asks for its words and destroys them here

${ARCHIVE_HELP}
exit 0  done     1  refused; nothing was changed
`;

async function run(args: readonly string[], output: Output) {
  const options = {
    ...ARCHIVE_OPTIONS,
    ...SHEET_OPTIONS,
    new: { type: 'boolean' },
    kept: { type: 'boolean' },
  } as const;
  const { values } = readArguments(args, options, []);
  return withArchive(values, async ({ openKeys, pool }) => {
    const keys = await openKeys();
    const lying = await keys.sheetToPrint();
    if (values.kept === true) {
      if (lying === undefined) throw new Refusal('No words lie here: they were destroyed before.');
      const words = await askRecoveryWords();
      if (words.join(' ') !== lying.words.join(' ')) {
        throw new Refusal('These are the words of another sheet; nothing was destroyed.');
      }
      keys.destroyWords();
      output.say('The words stand on paper only.');
      return EXIT.ok;
    }
    if (lying === undefined || values.new === true) {
      const { fingerprint } = await keys.renewSheet();
      output.say(`successor  ${fingerprint}, announced in every log; earlier sheets are void`);
    }
    await writeSheet({ keys, pool, file: values.sheet, output });
    return EXIT.ok;
  });
}

export const recoverySheetCommand: Command = {
  help: HELP,
  run,
};
