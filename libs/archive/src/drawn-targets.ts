/** What findings of a drawn panel are placed on, kept ready for the drawings worked on last. */
import type { ObjectStore } from '#libs/objects';
import { type Targets, targetsOfNet } from './placed-geometry.js';
import { RecentCache } from './recent-cache.js';
import { getNet } from './stored-json.js';

/** Pieces of all drawings kept: some 300 panels. */
const PIECES_MAX = 20_000;

// The bytes under a digest never change, and so what was read of them stays right.
const recent = new RecentCache<Promise<Targets>>(PIECES_MAX);

/** @param digest of the net's object */
export async function drawnTargets(objects: ObjectStore, digest: string): Promise<Targets> {
  const known = recent.get(digest);
  if (known !== undefined) return known;
  const read = getNet(objects, digest).then(targetsOfNet);
  recent.set(digest, read);
  try {
    const targets = await read;
    recent.set(digest, read, targets.pieces.length);
    return targets;
  } catch (error) {
    recent.remove(digest);
    throw error;
  }
}
