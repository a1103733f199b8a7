import { canonicalBytes } from '#libs/ledger';
import { digestOf } from '#libs/objects';
import { plainJson } from './plain-json.js';

/** What an idempotency key stands for: the command and its checked body without secrets. */
export function requestDigest(
  type: string,
  body: unknown,
  ifMatch: string | undefined,
  secrets: readonly string[] = [],
): string {
  return digestOf(canonicalBytes([type, plainJson(body, secrets), ifMatch ?? null]));
}
