/** Where a backup goes: `s3://bucket?endpoint=…` or a folder, and whether that is a second disk. */
import { mkdir, realpath, stat } from 'node:fs/promises';
import { isAbsolute, relative, resolve } from 'node:path';
import { openObjectStore } from '#libs/objects';
import { BackupPlace } from './backup-place.js';
import { BackupFault } from './manifest.js';

export interface NamedPlace {
  readonly place: BackupPlace;
  /** what is shown and kept: the folder, or the bucket without its options */
  readonly name: string;
  /** S3, or a folder on another device than the home */
  readonly isSecondDisk: boolean;
}

export interface ArchivePlaces {
  readonly homePath: string;
  /** locator of the archive's own objects */
  readonly objects: string;
}

type S3Keys = Parameters<typeof openObjectStore>[1];

/**
 * @param archive what is backed up; undefined for reading only
 * @throws BackupFault for a place inside the archive, or a folder that cannot be made
 */
export async function openBackupPlace(
  to: string,
  s3: S3Keys,
  archive?: ArchivePlaces,
): Promise<NamedPlace> {
  if (to.startsWith('s3://')) {
    if (archive !== undefined && bucketOf(to) === bucketOf(archive.objects)) {
      throw new BackupFault(`${bucketOf(to)} holds the archive itself. Name another bucket.`);
    }
    const place = new BackupPlace(await openObjectStore(to, s3));
    return { place, name: bucketOf(to), isSecondDisk: true };
  }
  const folder = resolve(to);
  if (archive === undefined) {
    await stat(folder).catch((cause: unknown) => {
      throw new BackupFault(`There is no backup in ${folder}.`, { cause });
    });
  } else {
    await mkdir(folder, { recursive: true, mode: 0o700 }).catch((cause: unknown) => {
      throw new BackupFault(
        `${folder} cannot be used (${(cause as Error).message}). See to the disk, or name another folder.`,
        { cause },
      );
    });
    await refuseInside(folder, archive.homePath);
    if (archive.objects.startsWith('file:')) {
      await refuseInside(folder, archive.objects.slice('file:'.length));
    }
  }
  return {
    place: new BackupPlace(await openObjectStore(`file:${folder}`)),
    name: folder,
    isSecondDisk:
      archive !== undefined && (await deviceOf(folder)) !== (await deviceOf(archive.homePath)),
  };
}

async function refuseInside(folder: string, outer: string): Promise<void> {
  const way = relative(await realpath(outer).catch(() => outer), await realpath(folder));
  const isInside = way === '' || (!way.startsWith('..') && !isAbsolute(way));
  if (!isInside) return;
  throw new BackupFault(
    `${folder} lies in the archive itself and would be lost with it. Name a folder on another disk.`,
  );
}

async function deviceOf(path: string): Promise<number | undefined> {
  return stat(path).then(
    ({ dev }) => dev,
    () => undefined,
  );
}

/** What is shown and kept of a place, without opening it. */
export function nameOfPlace(to: string): string {
  return to.startsWith('s3://') ? bucketOf(to) : resolve(to);
}

function bucketOf(locator: string): string {
  return locator.split('?')[0]!;
}
