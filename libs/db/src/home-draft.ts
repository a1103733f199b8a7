/**
 * A home in the making: it has no `home.json` before `finish`, and a file that says what it is, so
 * that no version of the program starts what is only half there.
 */
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { HOME_VERSION, makePrivateFolder, UNFINISHED_FILE, writeHomeFile } from './home.js';
import { HomeFault } from './home-fault.js';
import { lockHome } from './home-lock.js';
import { writePrivateFile } from './private-file.js';

const unfinishedSchema = z.object({ from: z.string(), postgresPlace: z.string().optional() });

export interface HomeDraft {
  readonly path: string;
  readonly keyFile: string;
  readonly objectsPath: string;
  readonly postgresPlace: string | undefined;
  recordPostgresPlace(place: string): void;
  /** Writes a private file of the home. */
  writeFile(name: string, content: Uint8Array): void;
  /** Makes it a home. The lock is let go. */
  finish(options: { demo: boolean; now?: Date }): void;
  /** Leaves it unfinished, to be taken up again. */
  release(): void;
}

/**
 * Begins a home in an empty folder, or takes up one that was begun from the same source: its objects
 * stay, its database is made anew.
 *
 * @param from what it is made from, for instance a generation of a backup
 * @throws HomeFault `home-in-use`, `home-unreadable` for a folder that holds something else
 */
export function beginHome(path: string, from: string): HomeDraft {
  makePrivateFolder(path);
  refuseOther(path, from);
  const lock = lockHome(path);
  const markPath = join(path, UNFINISHED_FILE);
  const before = existsSync(markPath) ? readMark(markPath) : undefined;
  for (const place of [join(path, 'home.json'), join(path, 'postgres'), before?.postgresPlace]) {
    if (place !== undefined) rmSync(place, { recursive: true, force: true });
  }
  const objectsPath = join(path, 'objects');
  mkdirSync(objectsPath, { recursive: true, mode: 0o700 });
  let postgresPlace: string | undefined;
  const mark = () => {
    writePrivateFile(markPath, JSON.stringify({ from, postgresPlace }));
  };
  mark();
  return {
    path,
    keyFile: join(path, 'archive-key.pem'),
    objectsPath,
    get postgresPlace() {
      return postgresPlace;
    },
    recordPostgresPlace(place) {
      postgresPlace = place;
      mark();
    },
    writeFile(name, content) {
      writePrivateFile(join(path, name), content);
    },
    finish({ demo, now = new Date() }) {
      writeHomeFile(path, {
        format: 'mullion-home',
        version: HOME_VERSION,
        madeAt: now.toISOString(),
        demo,
        ...(postgresPlace === undefined ? {} : { postgresPlace }),
      });
      rmSync(markPath);
      lock.release();
    },
    release() {
      lock.release();
    },
  };
}

function refuseOther(path: string, from: string): void {
  const names = readdirSync(path).filter(
    (name) => !name.startsWith('lock') && name !== 'lost+found',
  );
  if (names.length === 0) return;
  const markPath = join(path, UNFINISHED_FILE);
  if (!existsSync(markPath)) {
    throw new HomeFault(
      'home-unreadable',
      `${path} is not empty (it holds ${names.slice(0, 3).join(', ')}). Name an empty folder, or one that is not there yet.`,
    );
  }
  const begun = readMark(markPath)?.from;
  if (begun === from) return;
  throw new HomeFault(
    'home-unreadable',
    `${path} holds the beginning of another restore (${begun ?? 'unreadable'}). Take that one up again, or remove the folder.`,
  );
}

function readMark(markPath: string): z.infer<typeof unfinishedSchema> | undefined {
  try {
    return unfinishedSchema.parse(JSON.parse(readFileSync(markPath, 'utf8')));
  } catch {
    return undefined; // cut short: nothing was made yet beyond it
  }
}
