/**
 * Our time-stamp requests and checks against OpenSSL's `ts`: it answers our request, it accepts the
 * token that we keep, and we refuse each of the tokens that it makes badly on purpose.
 */
import { randomBytes } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import {
  checkTimeToken,
  readAuthorities,
  type TimeSaying,
  timeStampRequest,
  tokenOfAnswer,
} from '#libs/timestamp';
import {
  AUTHORITY_NAME,
  type AuthorityOptions,
  makeTimeAuthority,
} from '../support/time-authority.js';
import { check } from './check.js';

const DATA = Buffer.from(
  'mullion/5f0c2a9e-demo/site/slm\n8\nXcnaeacGWamtVZy3Ad7ZoqudgjqtL0lgz+Nw7/RgQyg=\n',
);

export async function checkTimeStamps(): Promise<void> {
  for (const algorithm of ['rsa:2048', 'ec'] as const) await checkBothWays(algorithm);
  const other = makeTimeAuthority();
  const [good] = await saying({}, other.caFile);
  check('we refuse a token of another root', isFault(good!, 'chain'), told(good!));
  other.drop();
  const [expired] = await saying({ validUntil: '20200102000000Z' });
  check(
    'we refuse a token whose certificate had run out',
    isFault(expired!, 'chain'),
    told(expired!),
  );
}

async function checkBothWays(algorithm: 'rsa:2048' | 'ec'): Promise<void> {
  const authority = makeTimeAuthority({ algorithm });
  try {
    const nonce = randomBytes(8);
    const answer = authority.answer(timeStampRequest(DATA, nonce));
    const token = tokenOfAnswer(answer, nonce);
    const [data, kept] = [join(authority.folder, 'data'), join(authority.folder, 'token.der')];
    writeFileSync(data, DATA);
    writeFileSync(kept, token);
    const theirs = authority.verify(data, { token: kept });
    check(`openssl ts verifies the token that we keep (${algorithm})`, theirs.ok, theirs.says);
    const authorities = readAuthorities(readFileSync(authority.caFile, 'utf8'));
    const ours = await checkTimeToken(token, DATA, authorities);
    const isNow = ours.ok && Math.abs(ours.at.getTime() - Date.now()) < 10_000;
    check(
      `we verify it too, at the time it was made (${algorithm})`,
      isNow && ours.authority === AUTHORITY_NAME,
      told(ours),
    );
    const wrong = await checkTimeToken(token, Buffer.concat([DATA, Buffer.from('x')]), authorities);
    check(`we refuse it for other bytes (${algorithm})`, isFault(wrong, 'imprint'), told(wrong));
    await checkDamage(token, ours, authorities, algorithm);
    for (const [purpose, words] of PURPOSES) {
      const bad = await checkTimeToken(authority.signedBy(token, purpose), DATA, authorities);
      check(`we refuse a certificate ${words} (${algorithm})`, isFault(bad, 'purpose'), told(bad));
    }
    const same = await checkTimeToken(
      authority.signedBy(token, 'critical,timeStamping'),
      DATA,
      authorities,
    );
    check(`we accept the same made with the purpose (${algorithm})`, same.ok, told(same));
    try {
      tokenOfAnswer(answer, randomBytes(8));
      check(`an answer to another request is refused (${algorithm})`, false);
    } catch {
      check(`an answer to another request is refused (${algorithm})`, true);
    }
  } finally {
    authority.drop();
  }
}

const PURPOSES = [
  ['', 'without extended key usage'],
  ['timeStamping', 'whose extended key usage is not critical'],
  ['critical,timeStamping,serverAuth', 'that may also serve web pages'],
  ['critical,codeSigning', 'for signing programs'],
] as const;

/** Some bytes of a token are not signed (the order of lists, a root's own signature): they may differ, what is said may not. */
async function checkDamage(
  token: Uint8Array,
  whole: TimeSaying,
  authorities: ReturnType<typeof readAuthorities>,
  algorithm: string,
): Promise<void> {
  let refused = 0;
  const different: string[] = [];
  for (let at = 0; at < token.length; at += 3) {
    const flipped = new Uint8Array(token);
    flipped[at]! ^= 1 << (at % 8);
    const found = await checkTimeToken(flipped, DATA, authorities);
    if (!found.ok) refused += 1;
    else if (told(found) !== told(whole)) different.push(`byte ${at}: ${told(found)}`);
  }
  const count = Math.ceil(token.length / 3);
  check(
    `of ${count} single flipped bits ${refused} are refused, and none changes what is said (${algorithm})`,
    different.length === 0 && refused > count * 0.8,
    different.join('; '),
  );
}

async function saying(options: AuthorityOptions, caFile?: string): Promise<TimeSaying[]> {
  const authority = makeTimeAuthority(options);
  try {
    const nonce = randomBytes(8);
    const token = tokenOfAnswer(authority.answer(timeStampRequest(DATA, nonce)), nonce);
    const authorities = readAuthorities(readFileSync(caFile ?? authority.caFile, 'utf8'));
    return [await checkTimeToken(token, DATA, authorities)];
  } finally {
    authority.drop();
  }
}

const isFault = (saying: TimeSaying, fault: string) => !saying.ok && saying.fault === fault;
const told = (saying: TimeSaying) => JSON.stringify(saying);
