/** The certificates of the workshop's network, judged by OpenSSL (Node's TLS and X.509) and by pkijs. */
import { createHash, X509Certificate } from 'node:crypto';
import { mkdtemp, readFile, rm, stat } from 'node:fs/promises';
import { createServer } from 'node:https';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { connect } from 'node:tls';
import { checkServerCertificate } from './check-certificate.js';
import type { LanAddress } from './lan-addresses.js';
import { certificateInUse, openLanCertificate } from './lan-certificate.js';
import { makeLeaf } from './make-certificate.js';
import { fingerprintOfCertificate } from './pem.js';

const ONE: LanAddress[] = [{ address: '127.0.0.2', netmask: '255.255.255.255' }];
const NOW = new Date('2026-03-04T10:00:00Z');
const DAY_MS = 86_400_000;
let home: string;
beforeEach(async () => {
  home = await mkdtemp(join(tmpdir(), 'mullion-lan-'));
});
afterEach(() => rm(home, { recursive: true, force: true }));

/** What OpenSSL says of a server with this certificate when it trusts the authority alone. */
async function handshake(
  { keyPem, chainPem, authorityPem }: { keyPem: string; chainPem: string; authorityPem: string },
  host: string,
): Promise<string> {
  const server = createServer({ key: keyPem, cert: chainPem }, (_request, response) => {
    response.end();
  });
  await new Promise<void>((resolve) => server.listen(0, host, resolve));
  const { port } = server.address() as AddressInfo;
  try {
    return await new Promise<string>((resolve) => {
      const socket = connect({ host, port, ca: authorityPem }, () => {
        resolve(socket.authorized ? 'trusted' : String(socket.authorizationError));
        socket.destroy();
      });
      socket.on('error', (error: NodeJS.ErrnoException) => {
        resolve(error.message);
      });
    });
  } finally {
    server.close();
  }
}

it('is trusted by OpenSSL for the address it stands for, and kept for the next start', async () => {
  const first = await openLanCertificate(home, ONE, new Date());
  expect(await handshake(first, '127.0.0.2')).toBe('trusted');
  const again = await openLanCertificate(home, ONE, new Date());
  expect(again.chainPem).toBe(first.chainPem);
  expect([first.isNewAuthority, again.isNewAuthority]).toEqual([true, false]);
});

it('is made for at most 397 days and renewed before they end, by the same authority', async () => {
  const first = await openLanCertificate(home, ONE, NOW);
  const leaf = new X509Certificate(first.chainPem);
  expect((leaf.validToDate.getTime() - leaf.validFromDate.getTime()) / DAY_MS).toBeLessThan(397);
  const later = new Date(NOW.getTime() + 370 * DAY_MS);
  const renewed = await openLanCertificate(home, ONE, later);
  expect(renewed.authorityPem).toBe(first.authorityPem);
  expect(renewed.chainPem).not.toBe(first.chainPem);
});

it('follows a new address in its network, and makes a new authority for another network', async () => {
  const at = (address: string) => [{ address, netmask: '255.255.255.0' }];
  const first = await openLanCertificate(home, at('192.168.7.20'), NOW);
  const moved = await openLanCertificate(home, at('192.168.7.31'), NOW);
  expect(moved.authorityPem).toBe(first.authorityPem);
  expect(new X509Certificate(moved.chainPem).checkIP('192.168.7.31')).toBe('192.168.7.31');
  const elsewhere = await openLanCertificate(home, at('10.0.4.20'), NOW);
  expect(elsewhere.isNewAuthority).toBe(true);
});

it('cannot vouch for other addresses or names: OpenSSL refuses what its key signs for them', async () => {
  const { authorityPem } = await openLanCertificate(home, ONE, new Date());
  const keyPem = await readFile(join(home, 'lan', 'authority-key.pem'), 'utf8');
  const forged = await makeLeaf({
    authority: { certificatePem: authorityPem, keyPem },
    dnsName: undefined,
    addresses: ['127.0.0.3'],
    now: new Date(),
    validMs: DAY_MS,
  });
  const chain = {
    keyPem: forged.keyPem,
    chainPem: forged.certificatePem + authorityPem,
    authorityPem,
  };
  // OpenSSL's words for X509_V_ERR_PERMITTED_VIOLATION
  expect(await handshake(chain, '127.0.0.3')).toContain('permitted subtree violation');
  const verdict = await checkServerCertificate(
    forged.certificatePem,
    authorityPem,
    ['127.0.0.3'],
    new Date(),
  );
  expect(verdict.isGood).toBe(false);
});

it('lies in the home for its owner alone', async () => {
  await openLanCertificate(home, ONE, NOW);
  for (const name of ['authority-key.pem', 'server-key.pem'])
    expect((await stat(join(home, 'lan', name))).mode & 0o077).toBe(0);
});

it('is found good or bad by the doctor’s library, with the reason', async () => {
  await openLanCertificate(home, ONE, NOW);
  const { leafPem, authorityPem } = (await certificateInUse(home))!;
  const ask = (addresses: string[], at: Date) =>
    checkServerCertificate(leafPem, authorityPem, addresses, at);
  expect(await ask(['127.0.0.2'], NOW)).toMatchObject({ isGood: true });
  expect((await ask(['192.168.7.20'], NOW)).says).toContain('192.168.7.20');
  expect((await ask(['127.0.0.2'], new Date('2029-01-01'))).isGood).toBe(false);
});

it('shows the fingerprint that others compute', async () => {
  const { authorityPem } = await openLanCertificate(home, ONE, NOW);
  const { raw, fingerprint256 } = new X509Certificate(authorityPem);
  const hex = createHash('sha256').update(raw).digest('hex').toUpperCase();
  expect(fingerprintOfCertificate(authorityPem).replaceAll(' ', '')).toBe(hex);
  expect(fingerprintOfCertificate(authorityPem)).toBe(fingerprint256.replaceAll(':', ' '));
});
