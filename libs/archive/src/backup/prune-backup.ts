/** Which generations stay, and the removal of what none of them names. */
import { readObjectList } from './backup-objects.js';
import type { BackupPlace } from './backup-place.js';
import type { Manifest } from './manifest.js';

export interface KeepRule {
  /** newest generations */
  readonly newest: number;
  /** weeks of which the last generation stays besides */
  readonly weeks: number;
}

export const KEEP_RULE: KeepRule = { newest: 7, weeks: 8 };

const WEEK_MS = 7 * 24 * 3600 * 1000;
/** 5 January 1970 was a Monday. */
const FIRST_MONDAY_MS = 4 * 24 * 3600 * 1000;

/** @param generations newest first @returns those that stay, newest first */
export function keptGenerations(generations: readonly string[], rule: KeepRule): string[] {
  const weeks = new Set<number>();
  return generations.filter((generation, at) => {
    const week = weekOf(generation);
    const isLastOfWeek = !weeks.has(week);
    const isAmongWeeks = isLastOfWeek && weeks.size < rule.weeks;
    if (isAmongWeeks) weeks.add(week);
    return at < Math.max(1, rule.newest) || isAmongWeeks;
  });
}

/**
 * Forgets generations beyond the rule and removes every object that none of the others names. The
 * sealed part of the newest generation alone stays, so that an erasure has reached the backup then.
 *
 * @returns generations forgotten and objects removed
 */
export async function pruneBackup(
  place: BackupPlace,
  rule: KeepRule = KEEP_RULE,
): Promise<{ generations: number; objects: number }> {
  const all = await place.generations();
  const kept = keptGenerations(all, rule);
  // read before anything goes: a manifest that cannot be read stops the removal
  const manifests: Manifest[] = [];
  for (const generation of kept) manifests.push(await place.manifest(generation));
  for (const generation of all.filter((one) => !kept.includes(one))) await place.forget(generation);

  const named = new Set<string>();
  for (const [at, manifest] of manifests.entries()) {
    for (const digest of await namedByManifest(place, manifest)) named.add(digest);
    if (at === 0) for (const digest of manifest.sealed.chunks) named.add(digest);
  }
  let objects = 0;
  for await (const { digest } of place.store.list()) {
    if (named.has(digest)) continue;
    await place.store.destroy(digest);
    objects += 1;
  }
  return { generations: all.length - kept.length, objects };
}

/** Everything a generation needs besides its sealed part. */
async function namedByManifest(place: BackupPlace, manifest: Manifest): Promise<string[]> {
  const { lists } = manifest.objects;
  return [
    ...manifest.history.flatMap(({ chunks }) => chunks.map(({ digest }) => digest)),
    ...lists.map(({ digest }) => digest),
    ...(await readObjectList(place, lists)).map(({ digest }) => digest),
  ];
}

/** Weeks since the first Monday of 1970, by the moment in a generation's name. */
function weekOf(generation: string): number {
  const [, y, mo, d] = /^(\d{4})(\d{2})(\d{2})/.exec(generation)!;
  return Math.floor((Date.UTC(Number(y), Number(mo) - 1, Number(d)) - FIRST_MONDAY_MS) / WEEK_MS);
}
