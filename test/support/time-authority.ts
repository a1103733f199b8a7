/**
 * A time authority for tests: `openssl ts` of this machine behind a small HTTP server on loopback.
 * Source of the commands: openssl-ts(1), openssl-req(1), openssl-x509(1).
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export interface AuthorityOptions {
  /** extended key usage of the signer's certificate */
  readonly purpose?: string;
  /** the signer's certificate was valid until this time, as openssl writes it: 20200102000000Z */
  readonly validUntil?: string;
  readonly algorithm?: 'rsa:2048' | 'ec';
}

export interface TimeAuthority {
  readonly folder: string;
  /** PEM of the root */
  readonly caFile: string;
  readonly name: string;
  /** DER answer to a DER request @throws Error with what openssl says */
  answer(request: Uint8Array): Uint8Array;
  /**
   * The same statement signed again by `openssl cms` with a certificate that openssl's time stamping
   * would not use, or with several signers.
   */
  signedBy(token: Uint8Array, purpose: string): Uint8Array;
  /** what `openssl ts -verify` says of a token or an answer over a file */
  verify(file: string, how: { token: string } | { answer: string }): { ok: boolean; says: string };
  drop(): void;
}

export const AUTHORITY_NAME = 'Time authority of the test';

/** @throws Error when openssl cannot be had: a check that needs it must not pass without */
export function makeTimeAuthority(options: AuthorityOptions = {}): TimeAuthority {
  const { purpose = 'critical,timeStamping', validUntil, algorithm = 'rsa:2048' } = options;
  const folder = mkdtempSync(join(tmpdir(), 'time-authority-'));
  const at = (name: string) => join(folder, name);
  const openssl = (...args: string[]) => {
    const run = spawnSync('openssl', args, { cwd: folder, encoding: 'utf8' });
    if (run.error !== undefined)
      throw new Error(`openssl is needed for the checks of time stamps: ${run.error.message}`);
    return { ok: run.status === 0, says: `${run.stdout}${run.stderr}` };
  };
  const must = (...args: string[]) => {
    const run = openssl(...args);
    if (!run.ok) throw new Error(`openssl ${args.join(' ')}: ${run.says}`);
  };
  const newKey =
    algorithm === 'ec'
      ? ['-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:P-256']
      : ['-newkey', algorithm];
  const certify = (config: string, request: string, out: string, ...validity: string[]) => {
    must(
      ...['ca', '-batch', '-config', config, '-cert', 'ca.pem', '-keyfile', 'ca-key.pem'],
      ...['-extensions', 'signer', '-in', request, '-out', out, '-notext', ...validity],
    );
  };
  writeFileSync(at('tsa.cnf'), configOf(folder, purpose));
  writeFileSync(at('index.txt'), '');
  writeFileSync(at('ca-serial'), '1000\n');
  writeFileSync(at('serial'), '01\n');
  must(
    'req',
    '-x509',
    ...newKey,
    '-nodes',
    '-keyout',
    'ca-key.pem',
    '-out',
    'ca.pem',
    '-days',
    '3650',
    '-subj',
    '/CN=Root of the test',
    '-addext',
    'basicConstraints=critical,CA:TRUE',
    '-addext',
    'keyUsage=critical,keyCertSign,cRLSign',
  );
  must(
    'req',
    ...newKey,
    '-nodes',
    '-keyout',
    'signer-key.pem',
    '-out',
    'signer.csr',
    '-subj',
    `/CN=${AUTHORITY_NAME}`,
  );
  certify(
    'tsa.cnf',
    'signer.csr',
    'signer.pem',
    ...(validUntil === undefined ? [] : ['-startdate', '20200101000000Z', '-enddate', validUntil]),
  );
  return {
    folder,
    caFile: at('ca.pem'),
    name: AUTHORITY_NAME,
    answer(request) {
      writeFileSync(at('request.tsq'), request);
      must('ts', '-reply', '-config', 'tsa.cnf', '-queryfile', 'request.tsq', '-out', 'answer.tsr');
      return new Uint8Array(readFileSync(at('answer.tsr')));
    },
    signedBy(token, otherPurpose) {
      writeFileSync(at('token.der'), token);
      must(
        'cms',
        '-verify',
        '-noverify',
        '-inform',
        'DER',
        '-in',
        'token.der',
        '-out',
        'info.der',
        '-binary',
      );
      writeFileSync(at('other.cnf'), configOf(folder, otherPurpose));
      must(
        'req',
        ...newKey,
        '-nodes',
        '-keyout',
        'other-key.pem',
        '-out',
        'other.csr',
        '-subj',
        '/CN=Another signer',
      );
      // valid before the token was made, so that only the purpose is at fault
      certify('other.cnf', 'other.csr', 'other.pem', '-startdate', '20200101000000Z');
      must(
        'cms',
        '-sign',
        '-binary',
        '-nodetach',
        '-cades',
        '-md',
        'sha256',
        '-in',
        'info.der',
        '-signer',
        'other.pem',
        '-inkey',
        'other-key.pem',
        '-econtent_type',
        '1.2.840.113549.1.9.16.1.4',
        '-outform',
        'DER',
        '-out',
        'other.der',
      );
      return new Uint8Array(readFileSync(at('other.der')));
    },
    verify(file, how) {
      const given = 'token' in how ? ['-in', how.token, '-token_in'] : ['-in', how.answer];
      return openssl('ts', '-verify', '-data', file, ...given, '-CAfile', 'ca.pem');
    },
    drop() {
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** For `openssl ca` and `openssl ts`. @param purpose of the certificate that is made with it */
function configOf(folder: string, purpose: string): string {
  const at = (name: string) => join(folder, name);
  return `[ca]
default_ca = the_ca
[the_ca]
new_certs_dir = ${folder}
database = ${at('index.txt')}
serial = ${at('ca-serial')}
default_md = sha256
policy = any
unique_subject = no
default_days = 3650
[any]
commonName = supplied
[signer]
basicConstraints = CA:FALSE
keyUsage = critical,digitalSignature
${purpose === '' ? '' : `extendedKeyUsage = ${purpose}`}
[tsa]
default_tsa = the_tsa
[the_tsa]
serial = ${at('serial')}
signer_cert = ${at('signer.pem')}
signer_key = ${at('signer-key.pem')}
signer_digest = sha256
default_policy = 1.2.3.4.1
digests = sha256, sha384, sha512
accuracy = secs:1
ordering = no
tsa_name = no
ess_cert_id_chain = no
ess_cert_id_alg = sha256
`;
}

/** The authority over HTTP, as RFC 3161 section 3.4 has it. */
export async function serveTimeAuthority(
  authority: TimeAuthority,
): Promise<{ url: string; asked: () => number; close: () => Promise<void> }> {
  let asked = 0;
  const server = createServer((request, response) => {
    const chunks: Buffer[] = [];
    request.on('data', (chunk: Buffer) => chunks.push(chunk));
    request.on('end', () => {
      asked += 1;
      if (request.headers['content-type'] !== 'application/timestamp-query') {
        response.writeHead(415).end();
        return;
      }
      response
        .writeHead(200, { 'Content-Type': 'application/timestamp-reply' })
        .end(authority.answer(Buffer.concat(chunks)));
    });
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  return {
    url: `http://127.0.0.1:${port}/`,
    asked: () => asked,
    close: () =>
      new Promise((resolve) => {
        server.close(() => {
          resolve();
        });
      }),
  };
}
