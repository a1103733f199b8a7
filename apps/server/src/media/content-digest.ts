import { Problem } from '#libs/problem';

/** Digests that a sender announced: algorithm name of Node → bytes. */
export type AnnouncedDigests = ReadonlyMap<'sha256' | 'sha512', Buffer>;

const ACTIVE = { 'sha-256': ['sha256', 32], 'sha-512': ['sha512', 64] } as const;

/**
 * Reads a Content-Digest field (RFC 9530 section 2: a dictionary of byte sequences, RFC 8941 3.2 and
 * 3.3.5). Algorithms that the registry marks active are checked, the others are ignored as
 * the RFC allows.
 *
 * @throws {Problem} `request-invalid` when the field cannot be read
 */
export function readContentDigest(field: string | undefined): AnnouncedDigests {
  const digests = new Map<'sha256' | 'sha512', Buffer>();
  if (field === undefined || field.trim() === '') return digests;
  for (const member of field.split(',')) {
    const match = /^\s*([a-z*][a-z0-9_.*-]*)=:([A-Za-z0-9+/]*={0,2}):\s*$/.exec(member);
    const name = match?.[1] as keyof typeof ACTIVE | undefined;
    if (name === undefined) throw unreadable(field);
    const known = (ACTIVE as Partial<typeof ACTIVE>)[name];
    if (known === undefined) continue;
    const bytes = Buffer.from(match![2]!, 'base64');
    if (bytes.length !== known[1]) throw unreadable(field);
    digests.set(known[0], bytes);
  }
  return digests;
}

function unreadable(field: string): Problem {
  return new Problem(
    'request-invalid',
    `Content-Digest: ${JSON.stringify(field.slice(0, 200))} cannot be read. Send sha-256=:<base64 of 32 bytes>: or leave it out.`,
    { field: 'Content-Digest' },
  );
}
