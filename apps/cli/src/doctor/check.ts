import type { ReachedArchive } from '../admin/reach-archive.js';

export interface Finding {
  /** good; somebody should look; something is damaged, missing, or about to be */
  readonly state: 'good' | 'look' | 'bad';
  /** what is so, as one sentence without a stop */
  readonly says: string;
  /** what to do about it */
  readonly doThis?: string;
}

/** One thing that the doctor looks at. It changes nothing that people keep. */
export interface DoctorCheck {
  /** two or three words, as they stand in the first column */
  readonly name: string;
  run(archive: ReachedArchive): Promise<Finding>;
}

/** Bytes as people read them: 1 GB = 10⁹ bytes. */
export function inWords(sizeBytes: number): string {
  const units = ['bytes', 'kB', 'MB', 'GB', 'TB'];
  let value = sizeBytes;
  let unit = 0;
  while (value >= 1000 && unit < units.length - 1) {
    value /= 1000;
    unit++;
  }
  return `${unit === 0 || value >= 100 ? Math.round(value) : value.toFixed(1)} ${units[unit]}`;
}

/** What the libraries say of the archive's health, as the doctor says it. */
export function asFinding(
  state: Finding['state'],
  { says, doThis }: { says: string; doThis: string | undefined },
): Finding {
  return { state, says, ...(doThis === undefined ? {} : { doThis }) };
}
