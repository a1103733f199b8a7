/**
 * The bytes of pictures on this device: files of the origin's private file system (OPFS) where a page may
 * write them, else IndexedDB. A picture's bytes are whole or not there.
 */
import { queueDatabase } from './queue-store.js';

const FOLDER = 'pictures';

async function folder(): Promise<FileSystemDirectoryHandle | undefined> {
  const storage = (navigator as { storage?: Partial<StorageManager> }).storage;
  if (storage?.getDirectory === undefined) return undefined;
  if (typeof FileSystemFileHandle === 'undefined') return undefined;
  if (!('createWritable' in FileSystemFileHandle.prototype)) return undefined;
  try {
    return await (await storage.getDirectory()).getDirectoryHandle(FOLDER, { create: true });
  } catch {
    return undefined; // private windows have none
  }
}

/**
 * Writes the bytes and returns when they lie here whole.
 *
 * @throws DOMException `QuotaExceededError` when there is no room
 */
export async function writeBytes(id: string, bytes: Blob): Promise<void> {
  const files = await folder();
  if (files === undefined) {
    const whole = await bytes.arrayBuffer();
    const tx = (await queueDatabase()).transaction('bytes', 'readwrite', { durability: 'strict' });
    await tx.store.put(whole, id);
    await tx.done;
    return;
  }
  const handle = await files.getFileHandle(id, { create: true });
  // what is written stands under the name only after close
  const stream = await handle.createWritable();
  try {
    await stream.write(bytes);
    await stream.close();
  } catch (error) {
    await stream.abort().catch(() => undefined);
    await files.removeEntry(id).catch(() => undefined);
    throw error;
  }
}

/** The bytes, or undefined when this device does not hold them. */
export async function readBytes(id: string): Promise<Blob | undefined> {
  const files = await folder();
  const file = await files
    ?.getFileHandle(id)
    .then((handle) => handle.getFile())
    .catch(() => undefined);
  if (file !== undefined && file.size > 0) return file;
  const whole = await (await queueDatabase()).get('bytes', id);
  return whole === undefined ? undefined : new Blob([whole]);
}

export async function removeBytes(id: string): Promise<void> {
  const files = await folder();
  await files?.removeEntry(id).catch(() => undefined);
  await (await queueDatabase()).delete('bytes', id);
}
