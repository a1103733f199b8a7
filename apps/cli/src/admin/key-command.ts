/** `mullion admin key …`: the archive's key handed on, or brought back when it was lost. */

import type { KeyChangeReport } from '#libs/archive';
import { entryName } from '#libs/ledger';
import type { Command, Output } from '../command.js';
import { EXIT } from '../exit-codes.js';
import { readArguments } from '../read-arguments.js';
import { askRecoveryWords } from './ask-words.js';
import { ARCHIVE_HELP, ARCHIVE_OPTIONS, withArchive } from './reach-archive.js';
import { SHEET_OPTIONS, writeSheet } from './sheet-file.js';

const ROTATE_HELP = `mullion admin key rotate [--home DIR | --demo]

Makes a new key and hands the archive on to it: the change stands in every log, signed by the key before.
May be done while Mullion runs. The old key stays beside the new one, as archive-key.FINGERPRINT.pem, until
you remove it. Do it when somebody may have seen the key, or when whoever held it leaves.

Give the new fingerprint to those who hold the old one; what they check is verified against either.

${ARCHIVE_HELP}
exit 0  done; old and new fingerprint are told     1  refused; nothing was changed
`;

async function rotate(args: readonly string[], output: Output) {
  const { values } = readArguments(args, ARCHIVE_OPTIONS, []);
  return withArchive(values, async ({ openKeys }) => {
    const report = await (await openKeys()).rotate();
    tell(report, output);
    output.say('signed by  the key before it: every check can follow the change');
    return EXIT.ok;
  });
}

export const keyRotateCommand: Command = {
  help: ROTATE_HELP,
  run: rotate,
};

const RECOVER_HELP = `mullion admin key recover [--home DIR | --demo] [--sheet FILE]
mullion admin key recover --without-any-key [--home DIR | --demo] [--sheet FILE]

For an archive whose key is lost. First look for the key in the backup: with it nothing has to be changed.

Asks for the 24 words of the recovery sheet (typed, or from a pipe; never on the command line). The key
made from them takes the place of the lost one in every log. From then on every check says "changed without
the old key at entry N, by the key announced at entry M", and still verifies against the old fingerprint.
The sheet is used up: a new one is made.

  --sheet FILE         where the new recovery sheet is written (default: mullion-recovery-sheet.pdf here)
  --without-any-key    when the sheet is lost too: a new key that nothing ties to the old one. Nobody can
                       then tell this archive from a copy that somebody else goes on with, except by what
                       they were told in person: no check is ever verified against the old fingerprint again.

${ARCHIVE_HELP}
exit 0  done     1  refused; nothing was changed
`;

async function recover(args: readonly string[], output: Output) {
  const options = {
    ...ARCHIVE_OPTIONS,
    ...SHEET_OPTIONS,
    'without-any-key': { type: 'boolean' },
  } as const;
  const { values } = readArguments(args, options, []);
  const isWithout = values['without-any-key'] === true;
  return withArchive(
    values,
    async ({ openKeys, pool }) => {
      const keys = await openKeys();
      const report = isWithout
        ? await keys.replace()
        : await keys.recover(await askRecoveryWords());
      tell(report, output);
      if (isWithout) {
        output.say('signed by  NOBODY KNOWN: nothing ties the new key to the old one');
        output.note(
          'From this entry on no check is verified against the old fingerprint. Tell everybody who holds it, in person or by letter, what happened and what the new one is.',
        );
      } else {
        output.say('signed by  the successor that was announced: every check says so');
      }
      if (report.unvouched > 0) {
        output.note(
          `In ${report.unvouched} of the logs no successor had been announced; there nothing ties the new key to the old one.`,
        );
      }
      await writeSheet({ keys, pool, file: values.sheet, output });
      return EXIT.ok;
    },
    { mayLackKey: true },
  );
}

export const keyRecoverCommand: Command = {
  help: RECOVER_HELP,
  run: recover,
};

function tell({ from, to, logs, seq }: KeyChangeReport, output: Output): void {
  output.say(`key before ${from ?? 'not known'}`);
  output.say(`key now    ${to}`);
  output.say(
    `stands in  ${logs} ${logs === 1 ? 'log' : 'logs'}; ${entryName(seq)} of the studio's`,
  );
}
