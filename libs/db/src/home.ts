/**
 * The home: one folder with everything of one archive. `home.json` says what it is, `archive-key.pem`
 * signs checkpoints, `objects/` holds originals, `postgres/` the embedded database (elsewhere for root).
 */
import { generateKeyPairSync } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { isAbsolute, join, resolve } from 'node:path';
import { z } from 'zod';
import { HomeFault } from './home-fault.js';
import { lockHome } from './home-lock.js';
import { keptSecret, writePrivateFile } from './private-file.js';

export const HOME_VERSION = 1;

const homeFileSchema = z.object({
  format: z.literal('mullion-home'),
  version: z.number().int().positive(),
  madeAt: z.string(),
  demo: z.boolean(),
  /** where the embedded database lives when it cannot live in the home */
  postgresPlace: z.string().optional(),
});
type HomeFile = z.infer<typeof homeFileSchema>;

export interface Home {
  readonly path: string;
  readonly isDemo: boolean;
  /** Ed25519 private key, PKCS #8 PEM, mode 0600; made at the first opening, and never again */
  readonly keyFile: string;
  readonly objectsPath: string;
  readonly postgresPlace: string | undefined;
  /** Remembers a place of the database outside the home. */
  recordPostgresPlace(place: string): void;
  /** Lets another process open the home. */
  release(): void;
}

/** Where an archive lives when MULLION_HOME does not say: the user's data folder (XDG Base Directory). */
export function defaultHomePath(
  env: Readonly<Record<string, string | undefined>>,
  { demo }: { demo: boolean },
): string {
  const given = env['MULLION_HOME'];
  if (given !== undefined && given !== '') return demo ? `${resolve(given)}-demo` : resolve(given);
  // "all paths … must be absolute; … relative … should be ignored": XDG Base Directory 0.8, Basics
  const xdg = env['XDG_DATA_HOME'];
  const data =
    xdg !== undefined && isAbsolute(xdg) ? xdg : join(env['HOME'] ?? homedir(), '.local', 'share');
  return join(data, demo ? 'mullion-demo' : 'mullion');
}

/**
 * Opens or makes a home and locks it against a second server.
 * @param mayLackKey opens it although its key is lost, to bring another in force
 * @throws HomeFault `home-in-use`, `home-newer`, `home-unreadable`
 */
export function openHome(
  path: string,
  { demo = false, now = new Date(), mayLackKey = false } = {},
): Home {
  makePrivateFolder(path);
  const lock = lockHome(path);
  try {
    refuseUnfinished(path);
    const keyFile = join(path, 'archive-key.pem');
    let file = readHomeFile(path);
    const isKeyLost = file !== undefined && lacksKey(path, file, keyFile);
    if (isKeyLost && !mayLackKey) refuseLostKey(path, keyFile);
    if (file === undefined) {
      file = { format: 'mullion-home', version: HOME_VERSION, madeAt: now.toISOString(), demo };
      writeHomeFile(path, file);
    }
    const current = { file };
    if (!isKeyLost) keptSecret(keyFile, newArchiveKey);
    const objectsPath = join(path, 'objects');
    mkdirSync(objectsPath, { recursive: true, mode: 0o700 });
    return {
      path,
      isDemo: file.demo,
      keyFile,
      objectsPath,
      get postgresPlace() {
        return current.file.postgresPlace;
      },
      recordPostgresPlace(place) {
        current.file = { ...current.file, postgresPlace: place };
        writeHomeFile(path, current.file);
      },
      release: () => {
        lock.release();
      },
    };
  } catch (error) {
    lock.release();
    throw error;
  }
}

/**
 * Folder of the embedded database of a home, by its `home.json`.
 * @throws HomeFault `home-newer`, `home-unreadable`
 */
export function postgresPlaceOf(homePath: string): string {
  return readHomeFile(homePath)?.postgresPlace ?? join(homePath, 'postgres');
}

/**
 * Whether a home is the demo's, by its `home.json`; false for a folder that is none.
 * @throws HomeFault `home-newer`, `home-unreadable`
 */
export function isDemoHome(homePath: string): boolean {
  return existsSync(join(homePath, 'home.json')) && readHomeFile(homePath)?.demo === true;
}

export function makePrivateFolder(path: string): void {
  try {
    mkdirSync(path, { recursive: true, mode: 0o700 });
  } catch (error) {
    throw new HomeFault(
      'home-unreadable',
      `The folder ${path} for the archive cannot be made (${(error as Error).message}). ` +
        'Set MULLION_HOME to a folder you may write to.',
      { cause: error },
    );
  }
}

/** A new key over an old ledger would look like a forgery to every later check. */
function lacksKey(path: string, file: HomeFile, keyFile: string): boolean {
  const holdsDatabase = file.postgresPlace !== undefined || existsSync(join(path, 'postgres'));
  return holdsDatabase && !existsSync(keyFile);
}

function refuseLostKey(path: string, keyFile: string): void {
  // a change of the key that was cut short: the server finishes it, or says what is missing
  if (existsSync(join(path, 'archive-key.next.pem'))) return;
  throw new HomeFault(
    'home-unreadable',
    `${keyFile} is missing: without it the archive cannot go on signing its history. Put it back from the backup. ` +
      'If it is lost, take the recovery sheet and run: mullion admin key recover',
  );
}

/** What a restore or a move leaves in a folder until it is whole. */
export const UNFINISHED_FILE = 'unfinished.json';

function refuseUnfinished(path: string): void {
  if (!existsSync(join(path, UNFINISHED_FILE))) return;
  throw new HomeFault(
    'home-unreadable',
    `${path} holds an archive that is not whole: a restore was interrupted. Run the same mullion admin restore again, or remove the folder.`,
  );
}

export function writeHomeFile(path: string, file: HomeFile): void {
  writePrivateFile(join(path, 'home.json'), `${JSON.stringify(file, null, 2)}\n`);
}

function readHomeFile(path: string): HomeFile | undefined {
  const filePath = join(path, 'home.json');
  if (!existsSync(filePath)) {
    // A key without home.json is somebody's archive half lost: never start a new one over it.
    if (!existsSync(join(path, 'archive-key.pem'))) return undefined;
    throw new HomeFault(
      'home-unreadable',
      `${path} holds an archive key but no home.json. Put home.json back from the backup, or set MULLION_HOME to another folder.`,
    );
  }
  let parsed: z.ZodSafeParseResult<HomeFile>;
  try {
    parsed = homeFileSchema.safeParse(JSON.parse(readFileSync(filePath, 'utf8')));
  } catch (error) {
    throw new HomeFault('home-unreadable', unreadable(filePath), { cause: error });
  }
  if (!parsed.success) throw new HomeFault('home-unreadable', unreadable(filePath));
  if (parsed.data.version > HOME_VERSION) {
    throw new HomeFault(
      'home-newer',
      `The archive in ${path} was written by a newer Mullion (home version ${parsed.data.version}; this one knows ${HOME_VERSION}). Update the program.`,
    );
  }
  return parsed.data;
}

function unreadable(filePath: string): string {
  return `${filePath} cannot be read as the description of an archive. Put it back from the backup, or set MULLION_HOME to another folder.`;
}

function newArchiveKey(): string {
  const { privateKey } = generateKeyPairSync('ed25519');
  return privateKey.export({ format: 'pem', type: 'pkcs8' }).toString();
}
