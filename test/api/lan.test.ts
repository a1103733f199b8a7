/**
 * The archive on the workshop's network, asked by Node's own TLS client (OpenSSL) that trusts the
 * workshop's authority alone. The "network" is another address of the loopback.
 */
import { X509Certificate } from 'node:crypto';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { request as plainRequest } from 'node:http';
import { type RequestOptions, request } from 'node:https';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readConfig } from '#libs/archive';
import { openLanCertificate } from '#libs/tls';
import { type RunningServer, startServer } from '../../apps/server/src/start-server.js';
import { TOKEN, testEnvironment } from '../support/media-archive.js';

const ADDRESS = '127.0.0.2';
let server: RunningServer;
let place: Awaited<ReturnType<typeof testEnvironment>>;
let authorityPem: string;

beforeAll(async () => {
  place = await testEnvironment({ MULLION_LAN: '1', MULLION_LAN_ADDRESSES: ADDRESS });
  server = await startServer(readConfig(place.env));
  authorityPem = await readFile(join(place.home, 'lan', 'authority.pem'), 'utf8');
}, 60_000);
afterAll(async () => {
  await server.close();
  await place.drop();
});

interface Answer {
  status: number;
  headers: NodeJS.Dict<string | string[]>;
  body: Buffer;
}

function ask(url: string, options: RequestOptions & { body?: string } = {}): Promise<Answer> {
  const send = url.startsWith('https:') ? request : plainRequest;
  return new Promise((resolve, reject) => {
    const asked = send(url, { ca: authorityPem, ...options }, (response) => {
      const parts: Buffer[] = [];
      response.on('data', (part: Buffer) => parts.push(part));
      response.on('end', () => {
        resolve({
          status: response.statusCode!,
          headers: response.headers,
          body: Buffer.concat(parts),
        });
      });
    });
    asked.on('error', reject);
    asked.end(options.body);
  });
}

const phones = () => server.phones!;
const deskPort = () => new URL(server.url).port;

it('answers over TLS on the network’s address, to a client that trusts the workshop alone', async () => {
  expect(phones().origin).toMatch(/^https:\/\/127\.0\.0\.2:\d+$/);
  const answer = await ask(`${phones().origin}/v1/state`);
  expect(answer.status).toBe(200);
  expect(JSON.parse(answer.body.toString())).toMatchObject({ mode: 'choose' });
  await expect(ask(`${phones().origin}/v1/state`, { ca: [] })).rejects.toThrow(/certificate/);
});

it('does not answer in the clear on the network', async () => {
  await expect(ask(`http://${ADDRESS}:${deskPort()}/v1/state`)).rejects.toThrow(/ECONNREFUSED/);
});

it('hands out the certificate on the plain page, and nothing else there', async () => {
  const page = phones().trustPage!;
  const shown = await ask(page);
  expect(shown.status).toBe(200);
  const { fingerprint256, raw } = new X509Certificate(authorityPem);
  expect(phones().authorityFingerprint).toBe(fingerprint256.replaceAll(':', ' '));
  expect(shown.body.toString()).toContain(phones().authorityFingerprint);
  const certificate = await ask(`${page}mullion-of-this-workshop.crt`);
  expect(certificate.headers['content-type']).toBe('application/x-x509-ca-cert');
  expect(certificate.body.equals(raw)).toBe(true);
  for (const path of ['v1/state', 'index.html', 'authority-key.pem', '../lan/authority-key.pem'])
    expect((await ask(page + path)).status).toBe(404);
  expect((await ask(page, { headers: { Host: 'archive.example' } })).status).toBe(404);
});

it('refuses names that do not belong here, on either side (DNS rebinding)', async () => {
  for (const url of [`${phones().origin}/v1/state`, `http://127.0.0.1:${deskPort()}/v1/state`]) {
    const answer = await ask(url, {
      headers: { Host: 'archive.example' },
      // the other name is asked for on purpose
      checkServerIdentity: () => undefined,
    });
    // RFC 9110 § 15.5.20, 421 Misdirected Request
    expect(answer.status).toBe(421);
    expect(answer.headers['content-type']).toContain('application/problem+json');
  }
});

it('gives the cookie a phone gets to TLS alone, and the desk’s to this machine', async () => {
  const body = JSON.stringify({
    token: TOKEN,
    displayName: 'Studio head',
    login: 'head',
    password: 'seven slow herons',
  });
  const headers = { 'Content-Type': 'application/json' };
  const first = await ask(`${phones().origin}/v1/first-keeper`, { method: 'POST', headers, body });
  expect(first.status).toBe(201);
  expect(String(first.headers['set-cookie'])).toMatch(/; Secure/);
  const signIn = JSON.stringify({ login: 'head', password: 'seven slow herons' });
  const desk = await ask(`http://127.0.0.1:${deskPort()}/v1/session`, {
    method: 'POST',
    headers,
    body: signIn,
  });
  expect(desk.status).toBe(201);
  expect(String(desk.headers['set-cookie'])).not.toMatch(/; Secure/);
});

describe('the settings', () => {
  const base = { DATABASE_URL: 'postgres://nobody@127.0.0.1:1/none' };

  it.each([
    ['0.0.0.0', {}, /without TLS/],
    ['192.168.7.20', {}, /without TLS/],
    ['0.0.0.0', { MULLION_PLAIN_HTTP_BEYOND_THIS_MACHINE: '0' }, /without TLS/],
  ])('refuse plain HTTP on %s', async (host, extra, words) => {
    await expect(
      startServer(readConfig({ ...base, MULLION_HOST: host, ...extra })),
    ).rejects.toThrow(words);
  });

  it('take a certificate of one’s own, both files or neither', async () => {
    expect(() =>
      readConfig({ ...base, MULLION_LAN: '1', MULLION_TLS_CERT: '/tmp/cert.pem' }),
    ).toThrow(/belong together/);
    const own = mkdtempSync(join(tmpdir(), 'mullion-own-'));
    const made = await openLanCertificate(
      own,
      [{ address: '127.0.0.4', netmask: '255.255.255.255' }],
      new Date(),
    );
    writeFileSync(join(own, 'cert.pem'), made.chainPem);
    writeFileSync(join(own, 'key.pem'), made.keyPem);
    const environment = await testEnvironment({
      MULLION_LAN: '1',
      MULLION_LAN_ADDRESSES: '127.0.0.4',
      MULLION_TLS_CERT: join(own, 'cert.pem'),
      MULLION_TLS_KEY: join(own, 'key.pem'),
    });
    const other = await startServer(readConfig(environment.env));
    try {
      expect(other.phones).toMatchObject({ trustPage: null, authorityFingerprint: null });
      const { port } = new URL(other.phones!.origin);
      const answer = await ask(`https://127.0.0.4:${port}/v1/state`, { ca: made.authorityPem });
      expect(answer.status).toBe(200);
    } finally {
      await other.close();
      await environment.drop();
      rmSync(own, { recursive: true, force: true });
    }
  }, 60_000);
});
