/** What this browser remembers of every log that it has seen: the last signed head, and by which key. */
import { get, set } from 'idb-keyval';

export interface KeptHead {
  readonly logId: string;
  readonly origin: string;
  readonly size: number;
  /** the signed checkpoint, whole */
  readonly note: string;
  /** verifier key of the log, as text */
  readonly key: string;
  /** RFC 3339: when this key was seen here first, and when this head was */
  readonly keySince: string;
  readonly seenAt: string;
}

/** A fingerprint that a person typed and that matched: what lifts a result to verified. */
export interface ComparedFingerprint {
  readonly fingerprint: string;
  readonly comparedAt: string;
}

const headKey = (archiveId: string, logId: string) => `head ${archiveId} ${logId}`;
const HERE = 'archive at this address';
const comparedKey = (archiveId: string) => `compared ${archiveId}`;

export const keptHead = (archiveId: string, logId: string): Promise<KeptHead | undefined> =>
  get<KeptHead>(headKey(archiveId, logId));

export const keepHead = (archiveId: string, head: KeptHead): Promise<void> =>
  set(headKey(archiveId, head.logId), head);

/** Id of the archive that answered at this address last. */
export const archiveHere = (): Promise<string | undefined> => get<string>(HERE);
export const rememberArchiveHere = (archiveId: string): Promise<void> => set(HERE, archiveId);

export const comparedFingerprint = (archiveId: string): Promise<ComparedFingerprint | undefined> =>
  get<ComparedFingerprint>(comparedKey(archiveId));
export const keepCompared = (archiveId: string, compared: ComparedFingerprint): Promise<void> =>
  set(comparedKey(archiveId), compared);
