import { readFileSync } from 'node:fs';
import {
  BackupFault,
  type BackupProgress,
  type BackupRun,
  backUpArchive,
  KEEP_RULE,
  keepRecipient,
  keptRecipients,
  type NamedPlace,
  openBackupPlace,
  PASSPHRASE_LENGTH_MIN,
  passphraseRecipientOf,
  signerFromPem,
  Tx,
  verifyBackup,
} from '#libs/archive';
import { isDemoHome, RowCopies } from '#libs/db';
import { ObjectStoreError } from '#libs/objects';
import type { Command, Output } from '../command.js';
import { EXIT } from '../exit-codes.js';
import { readArguments } from '../read-arguments.js';
import { Refusal, UsageError } from '../refusal.js';
import { readSecret } from '../secret-input.js';
import { backupStoreKeys } from './backup-store-keys.js';
import {
  ARCHIVE_HELP,
  ARCHIVE_OPTIONS,
  type ReachedArchive,
  withArchive,
} from './reach-archive.js';

export const PASSPHRASE_VARIABLE = 'MULLION_BACKUP_PASSPHRASE';

const HELP = `mullion admin backup PLACE [--home DIR | --demo]
mullion admin backup PLACE --verify

Copies the archive to PLACE while it is at work: the database as it stands at one moment, every object
it names, and the keys. What is there already is not copied again; what a run cut short left is taken up.

PLACE        a folder (best on another disk), or s3://BUCKET?endpoint=URL[&region=NAME]
             keys for S3: MULLION_BACKUP_S3_ACCESS_KEY and MULLION_BACKUP_S3_SECRET_KEY

Names, passwords and keys in it are sealed: they open with the passphrase, or with the recovery sheet.
The first time you are asked for a passphrase; later runs need none.
  --passphrase-file FILE   first line is the passphrase (else ${PASSPHRASE_VARIABLE}, or you are asked)
  --new-passphrase         from this run on another passphrase
  --keep N                 newest generations that stay (${KEEP_RULE.newest})
  --keep-weeks N           weeks of which the last one stays besides (${KEEP_RULE.weeks})
  --verify                 reads everything in PLACE back and names what is damaged; needs no passphrase
${ARCHIVE_HELP}
exit 0  done     1  refused, or objects of the archive were missing or damaged; the lines say which
     4  --verify: something in PLACE is damaged or missing
`;

async function run(args: readonly string[], output: Output) {
  const { values, positionals } = readArguments(
    args,
    {
      ...ARCHIVE_OPTIONS,
      'passphrase-file': { type: 'string' },
      'new-passphrase': { type: 'boolean' },
      keep: { type: 'string' },
      'keep-weeks': { type: 'string' },
      verify: { type: 'boolean' },
    },
    ['PLACE'],
  );
  const to = positionals[0]!;
  const keep = {
    newest: wholeNumber(values.keep, KEEP_RULE.newest, '--keep'),
    weeks: wholeNumber(values['keep-weeks'], KEEP_RULE.weeks, '--keep-weeks'),
  };
  try {
    if (values.verify === true) return await verify(to, output);
    return await withArchive(values, async (archive) => {
      const { homePath, config } = archive;
      const place = await openBackupPlace(to, backupStoreKeys(homePath), {
        homePath,
        objects: config.objects,
      });
      await havePassphrase(archive, values, output);
      const done = await backUpArchive(toBackUp(archive), place, {
        keep,
        onProgress: progressNotes(output),
      });
      return tell(done, place, output);
    });
  } catch (cause) {
    if (cause instanceof BackupFault || cause instanceof ObjectStoreError) {
      throw new Refusal(cause.message, undefined, { cause });
    }
    throw cause;
  }
}

function toBackUp({ pool, objects, config, homePath }: ReachedArchive) {
  return {
    pool,
    objects,
    homePath,
    keyFile: config.keyFile,
    isDemo: isDemoHome(homePath),
    signer: signerFromPem(readFileSync(config.keyFile)),
    moment: () => RowCopies.ofMoment(config.databaseUrl),
  };
}

async function havePassphrase(
  { pool }: ReachedArchive,
  given: { 'passphrase-file'?: string | undefined; 'new-passphrase'?: boolean | undefined },
  output: Output,
): Promise<void> {
  const tx = new Tx(pool);
  const isKept = (await keptRecipients(tx)).some(({ kind }) => kind === 'passphrase');
  if (isKept && given['new-passphrase'] !== true) return;
  const passphrase = await readSecret({
    question: `Passphrase for backups (at least ${PASSPHRASE_LENGTH_MIN} characters; write it down, away from this computer)`,
    variable: PASSPHRASE_VARIABLE,
    file: given['passphrase-file'],
    isNew: true,
  });
  if (passphrase === undefined) {
    if (given['new-passphrase'] === true) throw new UsageError('No passphrase came.');
    return;
  }
  if (passphrase.length < PASSPHRASE_LENGTH_MIN) {
    throw new Refusal(
      `A passphrase has at least ${PASSPHRASE_LENGTH_MIN} characters. Five or six words are good.`,
    );
  }
  await keepRecipient(tx, await passphraseRecipientOf(passphrase), new Date());
  output.note('The passphrase is set. Whoever loses it needs the recovery sheet.');
}

function progressNotes(output: Output): (progress: BackupProgress) => void {
  let last = 0;
  return (progress) => {
    if (progress.step !== 'objects') return;
    const now = Date.now();
    if (now - last < 2000 && progress.done < progress.of) return;
    last = now;
    output.note(`objects ${progress.done} of ${progress.of}`);
  };
}

function tell(done: BackupRun, { name, isSecondDisk }: NamedPlace, output: Output) {
  const { manifest, copiedObjects, copiedBytes, absent, forgotten } = done;
  output.say(
    `${name}: generation ${manifest.generation}, ${manifest.objects.count} objects, ${copiedObjects} of them new (${megabytes(copiedBytes)})`,
  );
  for (const { origin, size } of manifest.logs) output.say(`  ${size} entries of ${origin}`);
  if (forgotten.generations > 0) {
    output.say(`  ${forgotten.generations} older generations were let go`);
  }
  if (!isSecondDisk) {
    output.note(
      'This place is on the same disk as the archive: it helps against mistakes, not against the loss of the disk.',
    );
  }
  for (const { digest, why } of absent) output.note(`${why} in the archive itself: ${digest}`);
  if (absent.length === 0) return EXIT.ok;
  output.note(
    `${absent.length} objects of the history could not be copied. mullion admin check names them by mark.`,
  );
  return EXIT.refused;
}

async function verify(to: string, output: Output) {
  const { place, name } = await openBackupPlace(to, backupStoreKeys(undefined));
  const report = await verifyBackup(place, {
    onStep: (objects) => {
      if (objects % 1000 === 0) output.note(`read ${objects}`);
    },
  });
  if (report.generations === 0) throw new Refusal(`There is no complete backup in ${name}.`);
  output.say(
    `${name}: ${report.generations} generations, ${report.objects} objects, ${megabytes(report.bytes)} read and hashed`,
  );
  for (const fault of report.faults) output.say(`  ${fault}`);
  output.say(report.faults.length === 0 ? 'whole' : `${report.faults.length} faults`);
  return report.faults.length === 0 ? EXIT.ok : EXIT.altered;
}

function megabytes(bytes: number): string {
  return `${(bytes / 1e6).toFixed(1)} MB`;
}

function wholeNumber(text: string | undefined, otherwise: number, option: string): number {
  if (text === undefined) return otherwise;
  if (/^\d{1,4}$/.test(text)) return Number(text);
  throw new UsageError(`${option} ${text}: expected a whole number.`);
}

export const backupCommand: Command = {
  help: HELP,
  run,
};
