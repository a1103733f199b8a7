import { createHash } from 'node:crypto';
import { readContentDigest } from './content-digest.js';

// RFC 9530 appendix D, example of {"hello": "world"} with a final line feed
const BODY = '{"hello": "world"}\n';
const FIELD =
  'sha-256=:RK/0qy18MlBSVnWgjwz6lZEWjP/lF5HF9bvEF8FabDg=:, sha-512=:YMAam51Jz/jOATT6/zvHrLVgOYTGFy1d6GJiOHTohq4yP+pgk4vf2aCsyRZOtw8MjkM7iw7yZ/WkppmM44T3qg==:';

describe('readContentDigest', () => {
  it('reads what the RFC shows', () => {
    const digests = readContentDigest(FIELD);
    for (const algorithm of ['sha256', 'sha512'] as const) {
      expect(digests.get(algorithm)).toEqual(createHash(algorithm).update(BODY).digest());
    }
  });

  it('ignores algorithms that are not active any more', () => {
    expect(readContentDigest('md5=:1B2M2Y8AsgTpgAmY7PhCfg==:').size).toBe(0);
    expect(readContentDigest(undefined).size).toBe(0);
  });

  it.each(['sha-256', 'sha-256=RK/0', 'sha-256=:RK/0:', 'sha-256=:§:', '=::', 'SHA-256=:RK/0:'])(
    'refuses %j',
    (field) => {
      expect(() => readContentDigest(field)).toThrow(/cannot be read/);
    },
  );
});
