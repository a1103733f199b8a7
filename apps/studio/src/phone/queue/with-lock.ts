/** One at a time over all tabs of this device (W3C Web Locks); pages that are not secure have no locks. */

/** Waits for the lock, works, gives it back: also when the page ends. */
export async function withLock<T>(
  name: string,
  signal: AbortSignal,
  work: () => Promise<T>,
): Promise<T> {
  const { locks } = navigator as { locks?: LockManager };
  if (locks === undefined) return work();
  return locks.request(name, { signal }, work);
}

/** Works only when nobody else holds the lock right now. */
export async function whereFree(name: string, work: () => Promise<void>): Promise<void> {
  const { locks } = navigator as { locks?: LockManager };
  if (locks === undefined) return work();
  await locks.request(name, { ifAvailable: true }, async (lock) => {
    if (lock !== null) await work();
  });
}
