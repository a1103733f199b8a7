/** The history as the archive tells it. Nothing here is believed before it is checked. */
import { client, taken } from './request.js';

const bytesOf = (base64: string): Uint8Array =>
  Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));

export interface ToldLog {
  readonly logId: string;
  readonly origin: string;
  readonly size: number;
  /** base64 */
  readonly rootHash: string;
}

export interface ToldEntry {
  readonly seq: number;
  readonly type: string;
  /** canonical JSON as it was hashed */
  readonly bytes: Uint8Array;
}

export interface ToldLogs {
  readonly publicKey: Uint8Array;
  readonly items: readonly ToldLog[];
}

export const readLogs = async (signal: AbortSignal): Promise<ToldLogs> => {
  const { verifierKey, items } = await taken(client.GET('/v1/logs', { signal }));
  return { publicKey: bytesOf(verifierKey.publicKey), items };
};

export const readCheckpoint = (logId: string, signal: AbortSignal): Promise<string> =>
  taken<string>(
    client.GET('/v1/logs/{logId}/checkpoint', {
      params: { path: { logId } },
      parseAs: 'text',
      signal,
    }),
  );

export const readGrowth = async (
  logId: string,
  from: number,
  to: number,
  signal: AbortSignal,
): Promise<Uint8Array[]> => {
  const { hashes } = await taken(
    client.GET('/v1/logs/{logId}/consistency', {
      params: { path: { logId }, query: { from, to } },
      signal,
    }),
  );
  return hashes.map(bytesOf);
};

export const readInclusion = async (
  logId: string,
  seq: number,
  size: number,
  signal: AbortSignal,
): Promise<Uint8Array[]> => {
  const { hashes } = await taken(
    client.GET('/v1/logs/{logId}/proof', {
      params: { path: { logId }, query: { seq, size } },
      signal,
    }),
  );
  return hashes.map(bytesOf);
};

export const readEntry = async (
  logId: string,
  seq: number,
  signal: AbortSignal,
): Promise<ToldEntry> => {
  const entry = await taken(
    client.GET('/v1/logs/{logId}/entries/{seq}', { params: { path: { logId, seq } }, signal }),
  );
  return { seq: entry.seq, type: entry.type, bytes: bytesOf(entry.bytes) };
};

/** Every entry whose type begins so, in order. */
export const readEntriesOfType = async (
  logId: string,
  typeStart: string,
  signal: AbortSignal,
): Promise<readonly ToldEntry[]> => {
  const found: ToldEntry[] = [];
  for (let from = 0; ; ) {
    const { items, next } = await taken(
      client.GET('/v1/logs/{logId}/entries', {
        params: { path: { logId }, query: { from, limit: 500, typeStart } },
        signal,
      }),
    );
    found.push(...items.map(({ seq, type, bytes }) => ({ seq, type, bytes: bytesOf(bytes) })));
    if (next === null) return found;
    from = Number(next);
  }
};

/**
 * Shows the archive a checkpoint that this browser kept and that its log cannot reach.
 * @returns whether it tells of the loss now: by a new epoch, or one that it had opened before
 */
export const showKept = async (
  logId: string,
  checkpoint: string,
  signal: AbortSignal,
): Promise<boolean> => {
  const { state } = await taken(
    client.POST('/v1/logs/{logId}/known', {
      params: { path: { logId } },
      body: { checkpoint },
      signal,
    }),
  );
  return state === 'epoch';
};

export interface Evidence {
  /** the newest checkpoint that others cosigned and that holds the entry */
  readonly seen: { readonly size: number; readonly note: string } | null;
  readonly time: {
    readonly size: number;
    readonly note: string;
    readonly authority: string;
    readonly statedAt: string;
    readonly token: string;
  } | null;
}

export const readEvidence = (logId: string, seq: number, signal: AbortSignal): Promise<Evidence> =>
  taken(
    client.GET('/v1/logs/{logId}/evidence', {
      params: { path: { logId }, query: { seq } },
      signal,
    }),
  );

export interface Outside {
  readonly witnesses: readonly { readonly name: string; readonly verifierKey: string }[];
  readonly alarms: readonly {
    readonly origin: string;
    readonly witness: string;
    readonly says: string;
    readonly noticedAt: string;
  }[];
}

export const readOutside = (signal: AbortSignal): Promise<Outside> =>
  taken(client.GET('/v1/outside', { signal }));
