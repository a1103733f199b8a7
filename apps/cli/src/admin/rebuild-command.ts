import { rebuildProjections } from '#libs/archive';
import type { Command, Output } from '../command.js';
import { EXIT } from '../exit-codes.js';
import { readArguments } from '../read-arguments.js';
import { ARCHIVE_HELP, ARCHIVE_OPTIONS, withArchive } from './reach-archive.js';

const HELP = `mullion admin rebuild [--home DIR | --demo]

Drops everything that people read (sites, panels, findings, work, search) and makes it again from the
history, in one transaction: readers see the old rows until it is done, writers wait.

${ARCHIVE_HELP}
exit 0  done; the number of entries is told     1  refused; nothing was changed
`;

async function run(args: readonly string[], output: Output) {
  const { values } = readArguments(args, ARCHIVE_OPTIONS, []);
  return withArchive(values, async ({ pool, objects }) => {
    const entries = await rebuildProjections(pool, objects);
    output.say(`made again from ${entries} entries`);
    return EXIT.ok;
  });
}

export const rebuildCommand: Command = {
  help: HELP,
  run,
};
