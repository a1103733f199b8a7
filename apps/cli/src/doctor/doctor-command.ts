import { ARCHIVE_HELP, ARCHIVE_OPTIONS, withArchive } from '../admin/reach-archive.js';
import type { Command, Output } from '../command.js';
import { EXIT, type ExitCode } from '../exit-codes.js';
import { readArguments } from '../read-arguments.js';
import type { DoctorCheck, Finding } from './check.js';
import { DOCTOR_CHECKS } from './checks.js';

const HELP = `mullion doctor [--home DIR | --demo]

Looks over an archive, beside a running server or without one: disk, stores, replica, key, scrub,
backup, restore drill, leftovers. Changes nothing.

${ARCHIVE_HELP}
exit 0  all is well     8  somebody should see to something     9  something is damaged or about to be
     1  the archive cannot be opened at all
`;

const SIGNS: Record<Finding['state'], string> = { good: 'good', look: 'LOOK', bad: 'BAD ' };

async function run(args: readonly string[], output: Output): Promise<ExitCode> {
  const { values } = readArguments(args, ARCHIVE_OPTIONS, []);
  return withArchive(
    values,
    async (archive) => {
      const width = Math.max(...DOCTOR_CHECKS.map(({ name }) => name.length));
      let worst: ExitCode = EXIT.ok;
      for (const check of DOCTOR_CHECKS) {
        const { state, says, doThis } = await found(() => check.run(archive));
        output.say(`${SIGNS[state]}  ${check.name.padEnd(width)}  ${says}`);
        if (doThis !== undefined) output.say(`${' '.repeat(width + 8)}→ ${doThis}`);
        if (state === 'bad') worst = EXIT.needsMending;
        else if (state === 'look' && worst === EXIT.ok) worst = EXIT.needsALook;
      }
      return worst;
    },
    { mayLackKey: true, mayLackStore: true },
  );
}

/** A check that cannot be made is a finding too. */
async function found(look: () => ReturnType<DoctorCheck['run']>): Promise<Finding> {
  try {
    return await look();
  } catch (error) {
    return { state: 'bad', says: error instanceof Error ? error.message : String(error) };
  }
}

export const doctorCommand: Command = {
  help: HELP,
  run,
};
