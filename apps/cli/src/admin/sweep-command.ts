import { readdir, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { type Swept, sweep, Tx } from '#libs/archive';
import type { Command, Output } from '../command.js';
import { inWords } from '../doctor/check.js';
import { EXIT } from '../exit-codes.js';
import { readArguments } from '../read-arguments.js';
import { UsageError } from '../refusal.js';
import { ARCHIVE_HELP, ARCHIVE_OPTIONS, withArchive } from './reach-archive.js';

const DAYS = 7;
const DAY_MS = 24 * 60 * 60 * 1000;

const HELP = `mullion admin sweep [--remove] [--days N] [--home DIR | --demo]

Shows bytes that were never acknowledged: objects that no entry names, parts of uploads that never
ended, files that a crash left, versions that were replaced. What a device announced and nobody claimed
is listed and never touched.

  --remove     clear them away. An object is first set aside, where whoever asks for it still gets it;
               the next sweep after so many days discards it
  --days N     let be what is younger; ${DAYS} where not given, at least 1
${ARCHIVE_HELP}
exit 0  done or shown     1  refused
`;

async function run(args: readonly string[], output: Output) {
  const { values } = readArguments(
    args,
    { ...ARCHIVE_OPTIONS, remove: { type: 'boolean' }, days: { type: 'string' } },
    [],
  );
  const days = values.days === undefined ? DAYS : Number(values.days);
  if (!(days >= 1)) throw new UsageError('--days: at least 1; an upload may be under way.');
  const remove = values.remove === true;
  return withArchive(values, async ({ pool, objects, homePath }) => {
    const tx = new Tx(pool);
    const olderThanMs = days * DAY_MS;
    const swept = await sweep(tx, objects, { olderThanMs, remove });
    for (const one of swept) tellStore(one, remove, output);
    const parts = await abandonedUploads(tx, join(homePath, 'uploads'), olderThanMs, remove);
    if (parts.count > 0) {
      output.say(
        `uploads: ${parts.count} parts that no upload knows (${inWords(parts.sizeBytes)})`,
      );
    }
    const isNothing =
      parts.count === 0 &&
      swept.every(
        ({ setAside, discarded, leftovers, putBack }) =>
          setAside.length + discarded.length + leftovers.length + putBack.length === 0,
      );
    if (isNothing) output.say(`nothing to sweep that is older than ${days} days`);
    else if (!remove) output.say('nothing was changed; --remove clears it away');
    return EXIT.ok;
  });
}

function tellStore(swept: Swept, remove: boolean, output: Output): void {
  const { store, setAside, discarded, putBack, announced, retained, leftovers } = swept;
  const lists = [
    [remove ? 'set aside' : 'nothing names', setAside],
    [remove ? 'discarded' : 'set aside long enough', discarded],
    [remove ? 'put back, named since' : 'set aside and named since', putBack],
    ['announced and not claimed, kept', announced],
    ['nothing names, kept by retention', retained],
  ] as const;
  for (const [what, list] of lists) {
    for (const { digest, sizeBytes, storedAt } of list) {
      output.say(`${store}: ${what}: ${digest} ${inWords(sizeBytes)} of ${storedAt.toISOString()}`);
    }
  }
  for (const { kind, count, sizeBytes } of leftovers) {
    output.say(`${store}: ${count} × ${kind} (${inWords(sizeBytes)})`);
  }
}

/** Files of uploads whose row is gone; those with a row end by themselves after a week. */
async function abandonedUploads(
  tx: Tx,
  folder: string,
  olderThanMs: number,
  remove: boolean,
): Promise<{ count: number; sizeBytes: number }> {
  let count = 0;
  let sizeBytes = 0;
  for (const name of await readdir(folder).catch(() => [])) {
    const path = join(folder, name);
    const found = await stat(path).catch(() => undefined);
    if (found === undefined || Date.now() - found.mtimeMs < olderThanMs) continue;
    const uploadId = /^[0-9a-f-]{36}/.exec(name)?.[0];
    const isKnown =
      uploadId !== undefined &&
      (await tx.first('SELECT 1 FROM upload WHERE upload_id::text = $1', [uploadId])) !== undefined;
    if (isKnown) continue;
    if (remove) await rm(path, { force: true });
    count++;
    sizeBytes += found.size;
  }
  return { count, sizeBytes };
}

export const sweepCommand: Command = {
  help: HELP,
  run,
};
