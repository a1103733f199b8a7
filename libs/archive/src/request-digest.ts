import { canonicalBytes } from '#libs/ledger';
import { digestOf } from '#libs/objects';

/** What an idempotency key stands for: the command and its checked body without secrets. */
export function requestDigest(
  type: string,
  body: unknown,
  ifMatch: string | undefined,
  secrets: readonly string[] = [],
): string {
  const shown = JSON.parse(
    JSON.stringify(body, (key, value: unknown) => (secrets.includes(key) ? undefined : value)),
  ) as unknown;
  return digestOf(canonicalBytes([type, shown, ifMatch ?? null]));
}
