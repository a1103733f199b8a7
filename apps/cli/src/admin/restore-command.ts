import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import {
  BackupFault,
  type BackupPlace,
  leaveDrillNote,
  type Manifest,
  OpenedPart,
  type Opener,
  openBackupPlace,
  RecoveryWordsError,
  type RestoreProgress,
  recoveryKeysFromWords,
} from '#libs/archive';
import { HomeFault } from '#libs/db';
import { epochSentence, fingerprintOf } from '#libs/ledger';
import { type ObjectStore, ObjectStoreError, openObjectStore } from '#libs/objects';
import { Problem } from '#libs/problem';
import type { Command, Output } from '../command.js';
import { EXIT } from '../exit-codes.js';
import { readArguments } from '../read-arguments.js';
import { Refusal, UsageError } from '../refusal.js';
import { readSecret } from '../secret-input.js';
import { PASSPHRASE_VARIABLE } from './backup-command.js';
import { backupStoreKeys } from './backup-store-keys.js';
import { type RestoredHome, restoreHome } from './restore-home.js';

const HELP = `mullion admin restore PLACE --home NEW

Makes an archive in the folder NEW, which is empty or not there yet, from a backup: objects and rows are
hashed, the tables that people read are made again from the history, and every log is checked against
its signed head. Nothing can be started in NEW before all of that has succeeded; a run cut short is
taken up by the same command. The place remembers that it was restored from, for the drill.

PLACE        the folder or s3://BUCKET?endpoint=URL that mullion admin backup wrote to, or the folder
             before-… in a home: its database before the tables changed, with the objects of that home
  --home NEW               where the archive shall live
  --generation NAME        an earlier generation; without it the newest
  --words                  the recovery sheet's words instead of the passphrase (asked for, or piped in)
  --passphrase-file FILE   first line is the passphrase (else ${PASSPHRASE_VARIABLE}, or you are asked)
  --fingerprint F          the archive's fingerprint, from the sign-in page or a printed record
  --known-checkpoint FILE  a checkpoint that somebody kept; if it is newer than the backup, a new epoch opens
  --list                   the generations in PLACE, and nothing else

exit 0  restored     1  refused; nothing in NEW can be started     4  the backup is damaged; the lines say where
`;

async function run(args: readonly string[], output: Output) {
  const { values, positionals } = readArguments(
    args,
    {
      home: { type: 'string' },
      generation: { type: 'string' },
      words: { type: 'boolean' },
      'passphrase-file': { type: 'string' },
      fingerprint: { type: 'string' },
      'known-checkpoint': { type: 'string', multiple: true },
      list: { type: 'boolean' },
    },
    ['PLACE'],
  );
  try {
    const { place, name } = await openBackupPlace(positionals[0]!, backupStoreKeys(undefined));
    const generations = await place.generations();
    if (generations.length === 0) throw new Refusal(`There is no complete backup in ${name}.`);
    if (values.list === true) return await list(place, generations, output);
    if (values.home === undefined) throw new UsageError('Name the new folder with --home.');

    const generation = values.generation ?? generations[0]!;
    const manifest = await place.manifest(generation);
    const newest = await place.manifest(generations[0]!);
    const part = await openedPart(place, newest, values);
    const report = await restoreHome(
      {
        place,
        manifest,
        part,
        isOlder: generation !== newest.generation,
        objects: manifest.scope === 'whole' ? place.store : await storeBeside(name),
        fingerprint: values.fingerprint,
        onProgress: progressNotes(output),
      },
      values.home,
      (values['known-checkpoint'] ?? []).map(readNote),
    );
    const status = tell(report, manifest, values, output);
    if (manifest.scope === 'whole') await noteDrill(place, name, manifest, values, output);
    return status;
  } catch (cause) {
    if (cause instanceof BackupFault) throw new Refusal(cause.message, EXIT.altered, { cause });
    if (REFUSALS.some((fault) => cause instanceof fault))
      throw new Refusal((cause as Error).message, undefined, { cause });
    throw cause;
  }
}

/** What is told without the program's own lines: a folder, a store or a checkpoint that does not fit. */
const REFUSALS = [HomeFault, ObjectStoreError, Problem];

/** The place remembers the restore; the archive hears of it at its next backup there. */
async function noteDrill(
  place: BackupPlace,
  name: string,
  { generation }: Manifest,
  { words }: { words?: boolean | undefined },
  output: Output,
): Promise<void> {
  const restoredAt = new Date().toISOString();
  try {
    await leaveDrillNote(place, {
      generation,
      restoredAt,
      openedWith: words === true ? 'words' : 'passphrase',
    });
  } catch (error) {
    output.note(
      `${name} could not be written, so that the archive will not hear of this drill (${(error as Error).message}).`,
    );
  }
}

/** A copy from before a change of tables lies in the home whose objects it names. */
function storeBeside(copy: string): Promise<ObjectStore> {
  const { env } = process;
  return openObjectStore(
    env['MULLION_OBJECTS'] ?? `file:${join(dirname(copy), 'objects')}`,
    backupStoreKeys(undefined),
  );
}

async function list(place: BackupPlace, generations: readonly string[], output: Output) {
  for (const generation of generations) {
    const { madeAt, objects, logs } = await place.manifest(generation);
    const entries = logs.reduce((sum, { size }) => sum + size, 0);
    output.say(`${generation}  ${madeAt}  ${entries} entries, ${objects.count} objects`);
  }
  return EXIT.ok;
}

async function openedPart(
  place: BackupPlace,
  newest: Manifest,
  given: { words?: boolean | undefined; 'passphrase-file'?: string | undefined },
): Promise<OpenedPart> {
  const isSealed = newest.sealed.keys.length > 0;
  const opener = isSealed ? await askOpener(newest, given) : undefined;
  const part = await OpenedPart.open(newest.sealed, opener, (digest) =>
    place.chunk(digest, `the sealed part of generation ${newest.generation}`),
  );
  if (part !== undefined) return part;
  throw new Refusal(
    given.words === true
      ? 'These words do not open this backup. Are they from the sheet of this archive, all of them and in their order?'
      : 'This passphrase does not open this backup. If it is lost: the recovery sheet opens it, with --words.',
  );
}

async function askOpener(
  newest: Manifest,
  {
    words,
    'passphrase-file': file,
  }: { words?: boolean | undefined; 'passphrase-file'?: string | undefined },
): Promise<Opener> {
  const kinds = newest.sealed.keys.map(({ recipient }) => recipient.kind);
  if (words === true) {
    if (!kinds.includes('recovery-sheet')) {
      throw new Refusal(
        'This backup was made before the archive had a recovery sheet: it opens with the passphrase only.',
      );
    }
    return { sheetKey: await askSheetKey() };
  }
  if (!kinds.includes('passphrase')) {
    throw new Refusal(
      'This backup has no passphrase: it opens with the recovery sheet, by --words.',
    );
  }
  const passphrase = await readSecret({
    question: 'Passphrase of the backup',
    variable: PASSPHRASE_VARIABLE,
    file,
  });
  if (passphrase === undefined) throw new Refusal('No passphrase came. Without it: --words.');
  return { passphrase };
}

async function askSheetKey() {
  const words = await readSecret({
    question: 'The 24 words of the recovery sheet',
    isOneLine: false,
  });
  if (words === undefined) throw new Refusal('No words came. Type them, or pipe them in.');
  try {
    return recoveryKeysFromWords(words.split(/\s+/)).sealing;
  } catch (cause) {
    if (cause instanceof RecoveryWordsError) throw new Refusal(cause.message, undefined, { cause });
    throw cause;
  }
}

function readNote(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (cause) {
    throw new Refusal(`${file} cannot be read (${(cause as Error).message}).`, undefined, {
      cause,
    });
  }
}

function progressNotes(output: Output): (progress: RestoreProgress) => void {
  let last = 0;
  return (progress) => {
    if (progress.step !== 'objects') {
      output.note(STEPS[progress.step]);
      return;
    }
    const now = Date.now();
    if (now - last < 2000 && progress.done < progress.of) return;
    last = now;
    output.note(`objects ${progress.done} of ${progress.of}`);
  };
}

const STEPS = {
  rows: 'the history and its rows',
  projections: 'what people read, made again from the history',
  logs: 'every log against its signed head',
} as const;

function tell(
  report: RestoredHome,
  manifest: Manifest,
  { home, fingerprint }: { home?: string | undefined; fingerprint?: string | undefined },
  output: Output,
) {
  const key = fingerprintOf(new Uint8Array(Buffer.from(manifest.publicKey, 'base64')));
  output.say(
    `${home!}: restored generation ${manifest.generation} of ${manifest.madeAt}, ${report.objects} objects`,
  );
  for (const { origin, verdict } of report.logs) {
    output.say(`  ${verdict.entries} entries of ${origin}: ${RESULTS[verdict.result]}`);
  }
  output.say(
    `  fingerprint ${key}${fingerprint === undefined ? ': compare it with a printed record' : ''}`,
  );
  for (const { digest, why } of manifest.objects.absent) {
    output.note(`${why} already when the backup was made: ${digest}`);
  }
  for (const said of report.considered) {
    output.say(
      said.state === 'contained'
        ? `  the known checkpoint is contained in ${said.logId}`
        : `  ${epochSentence(said.told)} A new epoch is open: log ${said.logId}.`,
    );
  }
  if (report.differing.length > 0) {
    output.note(
      `made again by this version (${manifest.program} made the backup) and not as before: ${report.differing.join(', ')}`,
    );
  }
  output.say(`Start it with MULLION_HOME=${home!} npm start`);
  return EXIT.ok;
}

const RESULTS = {
  'verified-against-fingerprint': 'verified against the fingerprint',
  'consistent-key-unknown': 'consistent with itself, key not known to you',
  altered: 'altered',
} as const;

export const restoreCommand: Command = {
  help: HELP,
  run,
};
