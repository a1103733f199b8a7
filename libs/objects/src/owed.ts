/**
 * What the replica still has to be given, as notes in the primary: durable before the write that
 * caused them is acknowledged, and seen by every server and worker of the archive.
 */
import { z } from 'zod';
import { hexOf } from './digest.js';
import type { ObjectStore, RetainClass } from './object-store.js';

const FOLDER = 'owed/';

export type Owed =
  | { kind: 'copy'; digest: string; since: Date; retain: RetainClass | undefined }
  | { kind: 'destroy'; digest: string; since: Date }
  | { kind: 'name'; key: string; since: Date; retainUntil: Date | undefined };

const noteSchema = z.object({
  since: z.iso.datetime(),
  retain: z.enum(['original', 'derivative']).optional(),
  retainUntil: z.iso.datetime().optional(),
});

export function isOwedKey(key: string): boolean {
  return key.startsWith(FOLDER);
}

export async function noteOwed(primary: ObjectStore, owed: Owed): Promise<void> {
  const note = {
    since: owed.since.toISOString(),
    ...(owed.kind === 'copy' && owed.retain !== undefined ? { retain: owed.retain } : {}),
    ...(owed.kind === 'name' && owed.retainUntil !== undefined
      ? { retainUntil: owed.retainUntil.toISOString() }
      : {}),
  };
  await primary.putNamed(keyOf(owed), new TextEncoder().encode(JSON.stringify(note)));
}

export async function forgetOwed(primary: ObjectStore, owed: Owed): Promise<void> {
  await primary.removeNamed(keyOf(owed));
}

/** Whether the object shall be destroyed in the replica: then it must not be copied back from there. */
export async function isToBeDestroyed(primary: ObjectStore, digest: string): Promise<boolean> {
  return (await primary.readNamed(`${FOLDER}destroy/${hexOf(digest)}`)) !== undefined;
}

export async function* listOwed(primary: ObjectStore): AsyncGenerator<Owed> {
  for await (const key of primary.listNamed(FOLDER)) {
    const bytes = await primary.readNamed(key);
    if (bytes === undefined) continue; // settled while we listed
    const {
      since: sinceText,
      retain,
      retainUntil,
    } = noteSchema.parse(JSON.parse(new TextDecoder().decode(bytes)));
    const since = new Date(sinceText);
    const [kind, ...rest] = key.slice(FOLDER.length).split('/');
    const about = rest.join('/');
    if (kind === 'copy') yield { kind, digest: `sha256:${about}`, since, retain };
    else if (kind === 'destroy') yield { kind, digest: `sha256:${about}`, since };
    else if (kind === 'name') {
      yield {
        kind,
        key: about,
        since,
        retainUntil: retainUntil === undefined ? undefined : new Date(retainUntil),
      };
    }
  }
}

function keyOf(owed: Owed): string {
  return `${FOLDER}${owed.kind}/${owed.kind === 'name' ? owed.key : hexOf(owed.digest)}`;
}
