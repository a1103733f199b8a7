import 'reflect-metadata';
import cookie from '@fastify/cookie';
import { type DynamicModule, type Type } from '@nestjs/common';
import { NestFactory } from '@nestjs/core';
import { FastifyAdapter, type NestFastifyApplication } from '@nestjs/platform-fastify';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { MullionConfig } from '#libs/archive';
import { guardHosts } from './lan/host-guard.js';
import { LanDoor } from './lan/lan-door.js';
import { EtagInterceptor } from './platform/etag.interceptor.js';
import { ProblemFilter } from './platform/problem.filter.js';
import { addSecurityHeaders } from './platform/security-headers.js';
import { serveStudio } from './platform/studio-files.js';

/** JSON bodies: the largest is the sketch of a lead drawing. Uploads stream past this. */
const JSON_BYTES_MAX = 8 * 1024 ** 2;

/** Same parsers, filters and headers for the running server and the tests. */
export async function buildApp(
  root: Type | DynamicModule,
  {
    studioDir,
    isSecure = false,
    config,
  }: {
    studioDir?: string | undefined;
    isSecure?: boolean;
    /** of a running server: which names it answers to, and whether a proxy is believed */
    config?: MullionConfig;
  } = {},
): Promise<NestFastifyApplication> {
  const filter = new ProblemFilter();
  const refuse = (error: Error, request: FastifyRequest, reply: FastifyReply) => {
    filter.answer(error, request, reply);
  };
  const adapter = new FastifyAdapter({
    // what the router itself refuses: an address that cannot be read
    frameworkErrors: refuse,
    bodyLimit: JSON_BYTES_MAX,
    forceCloseConnections: true,
    trustProxy: config?.isBehindProxy ?? false,
    routerOptions: { maxParamLength: 300 },
  });
  const app = await NestFactory.create<NestFastifyApplication>(root, adapter, {
    logger: ['error', 'warn'],
    bodyParser: false,
    abortOnError: false,
  });
  const fastify = adapter.getInstance();
  // Everything that is not JSON reaches its route as a stream and is counted there.
  fastify.removeAllContentTypeParsers();
  fastify.addContentTypeParser(
    /^application\/(?:[\w.+-]+\+)?json(?:;|$)/,
    { parseAs: 'string', bodyLimit: JSON_BYTES_MAX },
    fastify.getDefaultJsonParser('error', 'error'),
  );
  fastify.addContentTypeParser('*', (_request, payload, done) => {
    done(null, payload);
  });
  if (config !== undefined && !config.isBehindProxy)
    guardHosts(fastify, config, () => app.get(LanDoor).names, refuse);
  await app.register(cookie);
  addSecurityHeaders(fastify, { isSecure });
  app.useGlobalFilters(filter);
  app.useGlobalInterceptors(new EtagInterceptor());
  if (studioDir !== undefined) await serveStudio(app, studioDir);
  return app;
}
