import { canonicalBytes } from '#libs/ledger';
import { digestOf } from '#libs/objects';

/** What an idempotency key stands for: the command and its checked body. */
export function requestDigest(type: string, body: unknown, ifMatch: string | undefined): string {
  return digestOf(canonicalBytes(JSON.parse(JSON.stringify([type, body, ifMatch ?? null]))));
}
