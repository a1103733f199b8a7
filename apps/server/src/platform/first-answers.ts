/**
 * What the studio's first screen at an address asks of the archive, in one answer that comes while its
 * code is still on the way. Each part is what its own route answers to the same person; whatever is
 * missing here is asked for by itself.
 */

import { promisify } from 'node:util';
import { gzip } from 'node:zlib';
import type { FastifyInstance, FastifyRequest } from 'fastify';

const ANSWERS = '/first/answers';
const OUTLINE = '/first/outline';

/** More than these a first screen seldom needs, and it would come late. */
const MOST = { logs: 4, sites: 4, windows: 12 } as const;

/** @param path as the address bar has it; the page's Link header, or none for a page that asks little */
export function firstLinks(path: string): string | undefined {
  // The phone opens without a line.
  if (path === '/phone') return undefined;
  const ahead = (door: string) =>
    `<${door}?at=${encodeURIComponent(path)}>; rel=preload; as=fetch; crossorigin`;
  return isPlace(path) ? `${ahead(ANSWERS)}, ${ahead(OUTLINE)}` : ahead(ANSWERS);
}

/** A place that one stands before, nothing being done at it: the only one whose glass is drawn at once. */
const isPlace = (path: string): boolean => /^\/at\/[^/]+$/.test(path);

export function serveFirstAnswers(fastify: FastifyInstance): void {
  fastify.get(ANSWERS, async (request, reply) => {
    const answers = new Answers(fastify, request);
    await answers.gather(placeOf(request));
    const isPacked = /\bgzip\b/.test(request.headers['accept-encoding'] ?? '');
    const body = answers.toJson();
    void reply
      .header('Cache-Control', 'private, no-store')
      .header('Vary', 'Accept-Encoding')
      .type('application/json; charset=utf-8');
    if (!isPacked) return reply.send(body);
    return reply.header('Content-Encoding', 'gzip').send(await packed(body, { level: 4 }));
  });
  fastify.get(OUTLINE, async (request, reply) => {
    const answers = new Answers(fastify, request);
    const windowId = (await answers.ask<MarkPlace>(markPath(placeOf(request))))?.windowId;
    if (windowId == null) return reply.code(204).send();
    const path = `/v1/windows/${windowId}/outline`;
    const answer = await answers.of(path, request.headers['if-none-match']);
    for (const name of ['etag', 'cache-control', 'content-type'] as const) {
      const value = answer.headers[name];
      if (value !== undefined) void reply.header(name, value);
    }
    return reply
      .header('Content-Location', path)
      .code(answer.statusCode)
      .send(answer.statusCode === 304 ? undefined : answer.rawPayload);
  });
}

const packed = promisify<string, { level: number }, Buffer>(gzip);

interface MarkPlace {
  readonly siteId: string;
  readonly windowId: string | null;
  readonly panelId: string | null;
}

const placeOf = (request: FastifyRequest): string => {
  const { at } = request.query as { at?: unknown };
  return typeof at === 'string' ? at : '/';
};

/** The path stands in an address as the browser wrote it, its mark encoded. */
const markPath = (path: string): string => `/v1/marks/${/^\/at\/([^/?#]+)/.exec(path)?.[1] ?? ''}`;

class Answers {
  readonly #fastify: FastifyInstance;
  readonly #request: FastifyRequest;
  readonly #parts: string[] = [];

  constructor(fastify: FastifyInstance, request: FastifyRequest) {
    this.#fastify = fastify;
    this.#request = request;
  }

  /** The answer of a route to the same person. */
  of(path: string, ifNoneMatch?: string) {
    const { cookie, host } = this.#request.headers;
    return this.#fastify.inject({
      method: 'GET',
      url: path,
      headers: {
        ...(cookie === undefined ? {} : { cookie }),
        ...(host === undefined ? {} : { host }),
        ...(ifNoneMatch === undefined ? {} : { 'if-none-match': ifNoneMatch }),
      },
      remoteAddress: this.#request.ip,
    });
  }

  /** Keeps what is answered; undefined when it was refused. */
  async ask<T>(path: string): Promise<T | undefined> {
    const { statusCode, headers, payload } = await this.of(path);
    if (statusCode !== 200) return undefined;
    const type = headers['content-type']?.toString() ?? '';
    const isJson = type.startsWith('application/json');
    const body = isJson ? payload : JSON.stringify(payload);
    this.#parts.push(`${JSON.stringify(path)}:{"type":${JSON.stringify(type)},"body":${body}}`);
    return isJson ? (JSON.parse(payload) as T) : undefined;
  }

  async gather(path: string): Promise<void> {
    const state = await this.ask<{ me: unknown }>('/v1/state');
    if (state?.me == null) return;
    await Promise.all([this.#logs(), this.#place(path)]);
  }

  async #logs(): Promise<void> {
    const told = await this.ask<{ items: { logId: string }[] }>('/v1/logs');
    await Promise.all(
      (told?.items ?? [])
        .slice(0, MOST.logs)
        .map(({ logId }) => this.ask(`/v1/logs/${encodeURIComponent(logId)}/checkpoint`)),
    );
  }

  async #place(path: string): Promise<void> {
    const isAt = path.startsWith('/at/');
    const place = isAt ? await this.ask<MarkPlace>(markPath(path)) : undefined;
    if ((isAt || path === '/') && place?.panelId == null) await this.#wall(place);
  }

  async #wall(place: MarkPlace | undefined): Promise<void> {
    const sites = await this.ask<{ items: { siteId: string }[] }>('/v1/sites');
    await Promise.all(
      (sites?.items ?? []).slice(0, MOST.sites).map(async ({ siteId }) => {
        const windows = await this.ask<{ items: { windowId: string }[] }>(
          `/v1/sites/${siteId}/windows`,
        );
        if (place !== undefined && siteId !== place.siteId) return;
        await Promise.all([
          this.ask(`/v1/sites/${siteId}/happenings`),
          ...(windows?.items ?? [])
            .slice(0, MOST.windows)
            .map(({ windowId }) => this.ask(`/v1/windows/${windowId}`)),
        ]);
      }),
    );
  }

  /** `{ "<path>": { "type": …, "body": … } }` */
  toJson(): string {
    return `{${this.#parts.join(',')}}`;
  }
}
