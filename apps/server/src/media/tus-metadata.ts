import { Problem } from '#libs/problem';

/**
 * Reads an Upload-Metadata header: pairs of key and base64 value, separated by commas; keys are
 * unique and hold neither space nor comma; a value may be missing (tus 1.0, "Creation").
 *
 * @throws {Problem} `request-invalid`
 */
export function readTusMetadata(header: string | undefined): Record<string, string> {
  const metadata: Record<string, string> = {};
  if (header === undefined || header.trim() === '') return metadata;
  for (const pair of header.split(',')) {
    const match = /^ *([^ ,]+)(?: ([A-Za-z0-9+/]*={0,2}))? *$/.exec(pair);
    const key = match?.[1];
    if (key === undefined || Object.hasOwn(metadata, key)) throw unreadable(pair);
    metadata[key] = Buffer.from(match?.[2] ?? '', 'base64').toString('utf8');
  }
  return metadata;
}

function unreadable(pair: string): Problem {
  return new Problem(
    'request-invalid',
    `Upload-Metadata: ${JSON.stringify(pair.slice(0, 100))} cannot be read. Send each key once, followed by a space and its value in base64.`,
    { field: 'Upload-Metadata' },
  );
}

export interface TusChecksum {
  algorithm: 'sha256' | 'sha1';
  digest: Buffer;
}

/**
 * Reads an Upload-Checksum header: algorithm, space, base64 (tus 1.0, "Checksum").
 *
 * @throws {Problem} `request-invalid` (400) for an algorithm that is not spoken here
 */
export function readTusChecksum(header: string | undefined): TusChecksum | undefined {
  if (header === undefined) return undefined;
  const [algorithm, base64, ...more] = header.trim().split(' ');
  const digest = Buffer.from(base64 ?? '', 'base64');
  const wanted = { sha256: 32, sha1: 20 }[algorithm as 'sha256' | 'sha1'] as number | undefined;
  if (wanted === undefined || digest.length !== wanted || more.length > 0) {
    throw new Problem(
      'request-invalid',
      `Upload-Checksum: ${JSON.stringify(header.slice(0, 100))} cannot be used. Send sha256 or sha1, a space, and the digest in base64.`,
      { field: 'Upload-Checksum' },
    );
  }
  return { algorithm: algorithm as 'sha256' | 'sha1', digest };
}
