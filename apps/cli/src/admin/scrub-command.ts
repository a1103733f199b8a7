import { scrub, troubleInWords } from '#libs/archive';
import { entryName } from '#libs/ledger';
import type { Command, Output } from '../command.js';
import { inWords } from '../doctor/check.js';
import { EXIT } from '../exit-codes.js';
import { readArguments } from '../read-arguments.js';
import { Refusal, UsageError } from '../refusal.js';
import { ARCHIVE_HELP, ARCHIVE_OPTIONS, withArchive } from './reach-archive.js';

const HELP = `mullion admin scrub [--rate MB] [--repair] [--home DIR | --demo]

Reads every object that the ledger names again, in both stores, and hashes it; holds the copies of
checkpoints against the database. Tells what is missing or damaged by the mark of what it shows, and
leaves an entry in the studio's log with the full report. Goes on where an interrupted one stopped.

  --rate MB    read at most so many megabytes a second; without it as fast as the stores give
  --repair     mend: from the other store, from older versions, from the database
${ARCHIVE_HELP}
exit 0  all is whole, or was mended      8  a store was away: its objects were not read
     9  something is lost or damaged     1  refused
`;

async function run(args: readonly string[], output: Output) {
  const { values } = readArguments(
    args,
    { ...ARCHIVE_OPTIONS, rate: { type: 'string' }, repair: { type: 'boolean' } },
    [],
  );
  const rate = values.rate === undefined ? undefined : Number(values.rate);
  if (rate !== undefined && !(rate > 0)) {
    throw new UsageError('--rate: say how many megabytes a second, for instance --rate 20.');
  }
  return withArchive(values, async (reached) => {
    const { config } = reached;
    const stopping = new AbortController();
    process.once('SIGINT', () => {
      stopping.abort();
    });
    const outcome = await scrub(await reached.openArchive(), {
      bytesPerS: rate === undefined ? undefined : rate * 1e6,
      isMending: values.repair === true,
      signal: stopping.signal,
      onTrouble: (trouble) => {
        output.say(troubleInWords(trouble));
      },
      onProgress: ({ objects, sizeBytes }, ofObjects) => {
        output.note(`${objects} of ${ofObjects} objects, ${inWords(sizeBytes)}`);
      },
    }).catch((error: unknown) => {
      if (!stopping.signal.aborted) throw error;
      return { state: 'paused' as const };
    });
    if (outcome.state === 'busy') {
      throw new Refusal(
        'Another scrub is at it (the worker does one at leisure). Try again in two minutes, or see mullion doctor.',
      );
    }
    if (outcome.state === 'paused') {
      output.note('Stopped. The next scrub goes on from here.');
      return EXIT.refused;
    }
    const { row } = outcome;
    output.say(
      `${row.objects} objects (${inWords(Number(row.sizeBytes))}) and ${row.checkpoints} checkpoints read in ${row.stores.join(' and ')}: ${row.troubles} troubles, ${row.mended} mended, by ${entryName(Number(row.version))} of the studio's log; report ${row.report}`,
    );
    if (row.troubles > row.mended) return EXIT.needsMending;
    const isWithout = config.objectsReplica !== undefined && row.stores.length < 2;
    if (isWithout) output.say('One store was away and was not read.');
    return isWithout ? EXIT.needsALook : EXIT.ok;
  });
}

export const scrubCommand: Command = {
  help: HELP,
  run,
};
