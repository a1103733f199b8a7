import { say } from '../../platform/language/say.js';
import type { Picture } from '../queue/picture.js';
import { readBytes } from '../queue/picture-bytes.js';
import { happen, readPictures } from '../queue/queue-store.js';
import { whereFree } from '../queue/with-lock.js';
import { lookAt } from './look.js';
import { type Said, sayPicture } from './say-picture.js';

/**
 * Looks at a picture and writes beside it what was found; a rubbing goes only when it can be measured. One
 * that this browser cannot decode is kept unjudged, and goes.
 */
export async function judgePicture(file: Blob, { id, job }: Picture): Promise<Said> {
  let said: Said;
  try {
    said = sayPicture(await lookAt(file), job);
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    said = { found: [say('not looked at: {why}', { why })], again: [], stop: null };
  }
  await happen(id, { kind: 'looked', found: said.found, stop: said.stop });
  return said;
}

/** Pictures that wait to be looked at since a page ended before it was done. */
export async function judgeLeftOver(): Promise<void> {
  for (const picture of await readPictures()) {
    if (picture.state !== 'held' || picture.found !== null) continue;
    await whereFree(`mullion-phone-look-${picture.id}`, async () => {
      const bytes = await readBytes(picture.id);
      if (bytes !== undefined) await judgePicture(bytes, picture);
    });
  }
}
