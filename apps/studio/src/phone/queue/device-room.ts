/** What this device promises to keep: how much still fits, and whether the browser may clear it away. */
import type { Picture } from './picture.js';
import { removeBytes } from './picture-bytes.js';
import { happen, readPictures } from './queue-store.js';
import { copiesToRemove, type RoomSaid, roomLeft } from './send-plan.js';

const RECENT = 20;

/** The browser's own estimate; null where it gives none. */
export async function deviceRoom(pictures: readonly Picture[]): Promise<RoomSaid | null> {
  const storage = (navigator as { storage?: Partial<StorageManager> }).storage;
  if (storage?.estimate === undefined) return null;
  const { usage = 0, quota = 0 } = await storage.estimate();
  const recent = pictures.slice(0, RECENT).map(({ sizeBytes }) => sizeBytes);
  return roomLeft({ usedBytes: usage, quotaBytes: quota }, recent);
}

/**
 * Makes room for a picture by removing copies of what was proven to be in the archive, never others.
 *
 * @returns false when it would not fit even so
 */
export async function makeRoom(sizeBytes: number): Promise<boolean> {
  const pictures = await readPictures();
  const room = await deviceRoom(pictures);
  if (room === null || room.leftBytes >= sizeBytes) return true;
  for (const picture of copiesToRemove(pictures, sizeBytes - room.leftBytes))
    await removeCopy(picture.id);
  const then = await deviceRoom(await readPictures());
  return then === null || then.leftBytes >= sizeBytes;
}

/** Takes the device's copy away; the record of the picture stays. Does nothing where that is not allowed. */
export async function removeCopy(id: string): Promise<void> {
  const after = await happen(id, { kind: 'bytes-removed' });
  if (after !== undefined && !after.hasBytes) await removeBytes(id);
}

export interface Keeping {
  /** the browser promised not to clear the storage by itself; null: it has no such promise */
  readonly isPersistent: boolean | null;
  readonly isInstalled: boolean;
  /** camera, service worker and storage are given to secure pages only */
  readonly isSecure: boolean;
}

/** How safe pictures lie here; asks the browser for its promise where it has not given it. */
export async function askKeeping(): Promise<Keeping> {
  const storage = (navigator as { storage?: Partial<StorageManager> }).storage;
  const persisted = (await storage?.persisted?.()) ?? null;
  const isPersistent = persisted === false ? ((await storage?.persist?.()) ?? false) : persisted;
  return { isPersistent, isInstalled: isInstalled(), isSecure: window.isSecureContext };
}

function isInstalled(): boolean {
  const standalone = (navigator as { standalone?: boolean }).standalone === true;
  return standalone || window.matchMedia('(display-mode: standalone)').matches;
}
