/** From the camera's file to a picture that lies on this device, whole and known by its digest. */

import { say } from '../../platform/language/say.js';
import { newId } from '../../platform/new-id.js';
import { digestOf } from '../../upload/sending.js';
import { makeRoom } from './device-room.js';
import { freshPicture, type Job, type Picture } from './picture.js';
import { readBytes, removeBytes, writeBytes } from './picture-bytes.js';
import { addPicture, happen, readPicture, readPictures } from './queue-store.js';
import { whereFree, withLock } from './with-lock.js';

/** The picture was not taken in; the message says what to do, and nothing of it is kept. */
export class NotKept extends Error {
  override readonly name = 'NotKept';
}

/**
 * Writes a photograph down: its record, then its bytes, then its digest of the bytes read back. When this
 * returns it survives closing, reload and reboot.
 *
 * @throws NotKept when there is no room, or when what was read back is not what was given
 */
export async function keepPicture(file: File, job: Job, archiveId: string): Promise<Picture> {
  if (file.size === 0)
    throw new NotKept(say('The camera gave a file without bytes. Take it again.'));
  if (!(await makeRoom(file.size))) {
    throw new NotKept(
      say(
        'There is no room for this picture on this phone, and it was not taken in. Save it with the phone’s own camera, or make room: connect to the archive so that pictures can leave, or export the queue.',
      ),
    );
  }
  const id = newId();
  const picture = freshPicture({
    id,
    archiveId,
    takenAt: localTime(new Date()),
    fileName: file.name === '' ? `${id}.jpg` : file.name,
    contentType: file.type === '' ? 'application/octet-stream' : file.type,
    sizeBytes: file.size,
    job,
  });
  const given = await digestOf(file);
  const double = (await readPictures()).find(
    (known) =>
      `sha256:${known.sha256}` === given &&
      known.job.mark === job.mark &&
      known.archiveId === archiveId &&
      known.state !== 'discarded',
  );
  if (double !== undefined) {
    throw new NotKept(
      say('This very picture of this place is in the queue already; it is kept once.'),
    );
  }
  return writeDown(picture, file, given);
}

const beingWritten = (id: string) => `mullion-phone-write-${id}`;

/**
 * @param given digest of the bytes as they came
 * @throws NotKept
 */
export function writeDown(picture: Picture, bytes: Blob, given: string): Promise<Picture> {
  // another tab that starts meanwhile must not take it for one that was broken off
  return withLock(beingWritten(picture.id), new AbortController().signal, () =>
    writeAndReadBack(picture, bytes, given),
  );
}

async function writeAndReadBack(picture: Picture, bytes: Blob, given: string): Promise<Picture> {
  const { id } = picture;
  await addPicture(picture, 'taken');
  try {
    await writeBytes(id, bytes);
  } catch (error) {
    const isFull = (error as { name?: string }).name === 'QuotaExceededError';
    const why = isFull
      ? say(
          'The phone’s storage is full: this picture was not taken in. Make room, then take it again.',
        )
      : say('The phone could not write this picture. Take it again.');
    await happen(id, { kind: 'not-kept', why });
    throw new NotKept(why, { cause: error });
  }
  return readBack(picture, given);
}

/** The digest of what lies here, and whether it is what was given. */
async function readBack(picture: Picture, given: string | undefined): Promise<Picture> {
  const { id } = picture;
  const bytes = await readBytes(id);
  const sha256 = bytes === undefined ? undefined : await digestOf(bytes);
  if (
    sha256 === undefined ||
    bytes?.size !== picture.sizeBytes ||
    (given !== undefined && sha256 !== given)
  ) {
    const why = say('The phone did not keep this picture whole. Take it again.');
    await happen(id, { kind: 'not-kept', why });
    await removeBytes(id);
    throw new NotKept(why);
  }
  const toBeSeen = picture.job.kind === 'rubbing';
  return (await happen(id, { kind: 'kept', sha256: sha256.slice('sha256:'.length), toBeSeen }))!;
}

/** Pictures that were being written when the page ended: finished where their bytes are whole. */
export async function takeUpUnfinished(): Promise<void> {
  for (const picture of await readPictures()) {
    if (picture.state === 'writing') {
      await whereFree(beingWritten(picture.id), async () => {
        const now = await readPicture(picture.id);
        if (now?.state === 'writing') await readBack(now, undefined).catch(() => undefined);
      });
    }
    if (picture.state === 'discarded' && picture.hasBytes) {
      await happen(picture.id, { kind: 'bytes-removed' });
      await removeBytes(picture.id);
    }
  }
}

/** RFC 3339 with this device's offset: `2026-11-25T20:14:48+01:00`. */
export function localTime(at: Date): string {
  const offsetMin = -at.getTimezoneOffset();
  const two = (count: number) => String(Math.abs(count)).padStart(2, '0');
  const local = new Date(at.getTime() + offsetMin * 60_000).toISOString().slice(0, 19);
  const sign = offsetMin < 0 ? '-' : '+';
  return `${local}${sign}${two(Math.trunc(offsetMin / 60))}:${two(offsetMin % 60)}`;
}
