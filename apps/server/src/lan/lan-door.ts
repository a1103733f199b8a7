/** The archive on the workshop's network: TLS on each private address, the trust page beside it. */
import { readFile } from 'node:fs/promises';
import { createServer as createPlainServer, type Server as PlainServer } from 'node:http';
import { createServer, type Server } from 'node:https';
import type { AddressInfo } from 'node:net';
import { Inject, Injectable, type OnModuleDestroy } from '@nestjs/common';
import { HttpAdapterHost } from '@nestjs/core';
import type { FastifyInstance } from 'fastify';
import type { LanPlan, MullionConfig } from '#libs/archive';
import {
  certificateNames,
  fingerprintOfCertificate,
  type LanAddress,
  lanAddresses,
  openLanCertificate,
} from '#libs/tls';
import { CONFIG } from '../platform/tokens.js';
import { hostnameOf } from './host-guard.js';
import { trustAnswer } from './trust-page.js';

export interface PhonesPlace {
  readonly origin: string;
  /** null where the certificate is trusted already */
  readonly trustPage: string | null;
  readonly authorityFingerprint: string | null;
}

interface Certificate {
  readonly keyPem: string;
  readonly chainPem: string;
  /** null: given as files, trusted by other means */
  readonly authorityPem: string | null;
  readonly names: readonly string[];
}

/** Addresses come and go, certificates grow old. */
const LOOK_MS = 60_000;

@Injectable()
export class LanDoor implements OnModuleDestroy {
  #secure = new Map<string, Server>();
  #plain = new Map<string, PlainServer>();
  #certificate: Certificate | undefined;
  #timer: NodeJS.Timeout | undefined;
  /** what phones use */
  phones: PhonesPlace | null = null;

  constructor(
    @Inject(CONFIG) private readonly config: MullionConfig,
    private readonly adapter: HttpAdapterHost,
  ) {}

  /** Names under which requests on the network are answered. */
  get names(): readonly string[] {
    return this.#certificate?.names ?? [];
  }

  /**
   * Listens on the network where that was asked for; the application listens already.
   *
   * @throws Error when there is no address to listen on
   */
  async open(): Promise<void> {
    const { lan } = this.config;
    if (lan === undefined) return;
    const addresses = lanAddresses(lan.addresses);
    if (addresses.length === 0) {
      throw new Error(
        'This machine has no address on a private network: connect it, or name one with MULLION_LAN_ADDRESSES.',
      );
    }
    await this.#follow(lan, addresses);
    this.#timer = setInterval(() => {
      this.#follow(lan, lanAddresses(lan.addresses)).catch((error: unknown) => {
        console.error('the workshop’s network could not be followed:', error);
      });
    }, LOOK_MS);
    this.#timer.unref();
  }

  onModuleDestroy(): void {
    clearInterval(this.#timer);
    for (const server of [...this.#secure.values(), ...this.#plain.values()]) shut(server);
  }

  async #follow(lan: LanPlan, addresses: readonly LanAddress[]): Promise<void> {
    if (addresses.length === 0) return; // the cable is out; what listens waits for it
    const certificate = await this.#open(lan, addresses);
    this.#certificate = certificate;
    const wanted = addresses.map(({ address }) => address);
    for (const [address, server] of this.#secure) {
      if (wanted.includes(address)) {
        server.setSecureContext({ key: certificate.keyPem, cert: certificate.chainPem });
      } else this.#leave(address);
    }
    for (const address of wanted) {
      if (!this.#secure.has(address)) await this.#listen(address, lan.port, certificate);
    }
    this.phones = this.#place(lan, wanted[0]!, certificate);
  }

  async #open(lan: LanPlan, addresses: readonly LanAddress[]): Promise<Certificate> {
    if (lan.files === undefined) return openLanCertificate(this.config.home, addresses, new Date());
    const chainPem = await readFile(lan.files.certFile, 'utf8');
    return {
      keyPem: await readFile(lan.files.keyFile, 'utf8'),
      chainPem,
      authorityPem: null,
      names: [...certificateNames(chainPem), ...addresses.map(({ address }) => address)],
    };
  }

  async #listen(address: string, port: number, certificate: Certificate): Promise<void> {
    const fastify = this.adapter.httpAdapter.getInstance<FastifyInstance>();
    const secure = createServer(
      { key: certificate.keyPem, cert: certificate.chainPem, minVersion: 'TLSv1.2' },
      (request, response) => {
        fastify.routing(request, response);
      },
    );
    await listening(secure, address, port);
    this.#secure.set(address, secure);
    if (certificate.authorityPem === null) return;
    const plain = createPlainServer((request, response) => {
      const isHere = this.names.includes(hostnameOf(request.headers.host) ?? '');
      const { authorityPem } = this.#certificate ?? certificate;
      const { status, headers, body } = trustAnswer(
        isHere && request.method === 'GET' ? (request.url ?? '/') : null,
        authorityPem ?? '',
      );
      response.writeHead(status, headers).end(body);
    });
    await listening(plain, address, port === 0 ? 0 : port + 1);
    this.#plain.set(address, plain);
  }

  #leave(address: string): void {
    for (const servers of [this.#secure, this.#plain]) {
      const server = servers.get(address);
      if (server !== undefined) shut(server);
      servers.delete(address);
    }
  }

  #place(lan: LanPlan, address: string, { authorityPem, names }: Certificate): PhonesPlace {
    const portOf = (server: Server | PlainServer | undefined) =>
      (server?.address() as AddressInfo | null)?.port;
    const port = portOf(this.#secure.get(address)) ?? lan.port;
    if (authorityPem === null) {
      const origin = this.config.publicUrl?.replace(/\/$/, '');
      return {
        origin: origin ?? `https://${names[0]}:${port}`,
        trustPage: null,
        authorityFingerprint: null,
      };
    }
    return {
      origin: `https://${address}:${port}`,
      trustPage: `http://${address}:${portOf(this.#plain.get(address)) ?? port + 1}/`,
      authorityFingerprint: fingerprintOfCertificate(authorityPem),
    };
  }
}

function listening(server: Server | PlainServer, host: string, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, host, () => {
      server.off('error', reject);
      resolve();
    });
  });
}

function shut(server: Server | PlainServer): void {
  server.close();
  server.closeAllConnections();
}
