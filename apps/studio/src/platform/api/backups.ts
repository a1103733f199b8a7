import { client, taken } from './request.js';

/** One thing that keeps the archive alive, in words. */
export interface Kept {
  readonly state: string;
  readonly says: string;
  /** what to do about it; null when nothing is to be done */
  readonly doThis: string | null;
}

/** Whether the archive would survive the loss of its disk. Keepers of the studio may ask. */
export interface Safekeeping extends Kept {
  readonly drill: Kept;
  readonly scrub: Kept & { readonly endedAt: string | null };
  readonly replica: Kept;
}

export const readSafekeeping = (signal: AbortSignal): Promise<Safekeeping> =>
  taken(client.GET('/v1/backups/state', { signal }));
