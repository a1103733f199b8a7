import { readFileSync } from 'node:fs';
import { mkdir, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { exportLog, logRows, rolledBack, signerFromPem } from '#libs/archive';
import { logFolder } from '#libs/dossier';
import type { Command, Output } from '../command.js';
import { EXIT } from '../exit-codes.js';
import { readArguments } from '../read-arguments.js';
import { Refusal, UsageError } from '../refusal.js';
import { ARCHIVE_HELP, ARCHIVE_OPTIONS, withArchive } from './reach-archive.js';

const HELP = `mullion admin export-log DIR [--log ORIGIN] [--proof N ...] [--home DIR | --demo]

Writes every log of the archive into a folder below DIR, in the open form of C2SP tlog-tiles: the newest
checkpoint, tiles of hashes, bundles of entries; beside them the key and every earlier checkpoint.
Other programs check it; so does: mullion verify DIR

  --log ORIGIN   only this log, by its origin line
  --proof N      also a proof that entry N stands in the log (C2SP tlog-proof); may be given more than
                 once, and needs --log
${ARCHIVE_HELP}
The entries hold everything, places and prices too: whoever gets the folder can read it.

exit 0  done     1  refused: DIR is there already, or the archive is damaged (mullion admin check says where)
     2  wrong usage
`;

async function run(args: readonly string[], output: Output) {
  const { values, positionals } = readArguments(
    args,
    {
      ...ARCHIVE_OPTIONS,
      log: { type: 'string' },
      proof: { type: 'string', multiple: true },
    } as const,
    ['DIR'],
  );
  const proofs = (values.proof ?? []).map(numberOf);
  if (proofs.length > 0 && values.log === undefined) {
    throw new UsageError('--proof needs --log: entries are counted in each log.');
  }
  const target = positionals[0]!;
  await makeNew(target);
  return withArchive(values, ({ pool, config }) =>
    rolledBack(pool, 'BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY', async (tx) => {
      const { publicKey } = signerFromPem(readFileSync(config.keyFile));
      const logs = (await logRows(tx)).filter(
        ({ origin }) => values.log === undefined || origin === values.log,
      );
      if (logs.length === 0) throw new Refusal(`There is no log with the origin ${values.log!}.`);
      for (const log of logs) {
        const folder = join(target, logFolder(log.origin));
        const beyond = proofs.find((seq) => seq >= log.size);
        if (beyond !== undefined) {
          throw new UsageError(`${log.origin} has ${log.size} entries, none of number ${beyond}.`);
        }
        let files = 0;
        for await (const { path, bytes } of exportLog(tx, log, publicKey, proofs)) {
          await mkdir(dirname(join(folder, path)), { recursive: true });
          await writeFile(join(folder, path), bytes);
          files += 1;
        }
        output.say(`${log.origin}: ${log.size} entries in ${files} files, ${folder}`);
      }
      return EXIT.ok;
    }),
  );
}

async function makeNew(folder: string): Promise<void> {
  try {
    await mkdir(folder);
  } catch (cause) {
    throw new Refusal(
      `${folder} cannot be made: name a folder that is not there yet, in one that is.`,
      undefined,
      { cause },
    );
  }
}

function numberOf(text: string): number {
  if (/^(0|[1-9]\d{0,14})$/.test(text)) return Number(text);
  throw new UsageError(`--proof is the number of an entry, from 0, not ${text}.`);
}

export const exportLogCommand: Command = {
  help: HELP,
  run,
};
