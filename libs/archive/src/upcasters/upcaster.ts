import type { JsonValue } from '#libs/ledger';

/** Members of a payload. Its `v` says its version; without one it is the first. */
export type Payload = Readonly<Record<string, JsonValue>>;

/**
 * From one version of a payload to the next, for one type of entry: a pure function, so that a
 * rebuild gives the same rows for ever. What the older version did not say is null, never guessed.
 */
export type Upcast = (payload: Payload) => Payload;

/** For one type: the step from version 1, then the one from version 2, and so on. */
export type Steps = readonly Upcast[];
