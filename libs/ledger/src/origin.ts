/**
 * Origin lines: the name of a log, unique over all archives.
 *
 * Form: `mullion/ARCHIVE/studio` or `mullion/ARCHIVE/site/SITE`, then `/epoch/N` from the second
 * epoch on (a restore older than a known checkpoint never forks a log, it opens the next epoch).
 * ARCHIVE is random, since site codes collide between studios; SITE is the file form of the site's
 * mark. The line also names the key in notes, so it has no space and no `+`.
 */

export interface Origin {
  /** 8 to 40 of a-z, 0-9 and -, e.g. a UUID */
  archiveId: string;
  /** 'studio', or a site by the file form of its mark (`slm`, `slm_ch`) */
  log: 'studio' | { site: string };
  /** from 1 */
  epoch: number;
}

const ORIGIN =
  /^mullion\/([a-z0-9][a-z0-9-]{7,39})\/(?:studio|site\/([a-z0-9][a-z0-9_-]*))(?:\/epoch\/([1-9]\d{0,8}))?$/;

/** @throws Error when a part cannot stand in an origin line */
export function originLine({
  archiveId,
  log,
  epoch = 1,
}: Omit<Origin, 'epoch'> & { epoch?: number }): string {
  const name = log === 'studio' ? 'studio' : `site/${log.site}`;
  const line = `mullion/${archiveId}/${name}${epoch === 1 ? '' : `/epoch/${epoch}`}`;
  const parsed = parseOrigin(line);
  const isSame =
    parsed?.archiveId === archiveId &&
    parsed.epoch === epoch &&
    JSON.stringify(parsed.log) === JSON.stringify(log);
  if (!isSame) {
    throw new Error(
      `${JSON.stringify(line)} is no origin line: archive id of 8 to 40 letters, digits or -, site in file form`,
    );
  }
  return line;
}

/** @returns undefined for the origin of a log that is not ours */
export function parseOrigin(line: string): Origin | undefined {
  const found = ORIGIN.exec(line);
  if (found === null) return undefined;
  const [, archiveId, site, epochText] = found;
  if (epochText === '1') return undefined;
  return {
    archiveId: archiveId!,
    log: site === undefined ? 'studio' : { site },
    epoch: epochText === undefined ? 1 : Number(epochText),
  };
}

/** Whether a log is a later epoch of another, by their origin lines. */
export function isLaterEpoch(origin: string, before: string): boolean {
  const [first, second] = [parseOrigin(before), parseOrigin(origin)];
  return (
    first !== undefined &&
    second !== undefined &&
    first.archiveId === second.archiveId &&
    JSON.stringify(first.log) === JSON.stringify(second.log) &&
    second.epoch > first.epoch
  );
}

/** Whether one of these logs is a later epoch of the log: then it is closed, and the later one vouches for it. */
export function isClosedAmong(origin: string, origins: Iterable<string>): boolean {
  for (const other of origins) if (isLaterEpoch(other, origin)) return true;
  return false;
}
