import { access } from 'node:fs/promises';
import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import type { FastifyInstance } from 'fastify';

/**
 * The studio at `/`. Files with a hash in their name (Vite puts them into assets/) never change;
 * addresses without a file are the studio's own and get its page.
 */
export async function serveStudio(app: NestFastifyApplication, studioDir: string): Promise<void> {
  await access(join(studioDir, 'index.html'));
  const fastify: FastifyInstance = app.getHttpAdapter().getInstance();
  await app.register(fastifyStatic, {
    root: studioDir,
    wildcard: false,
    index: false,
    serve: false,
  });
  const page = (reply: {
    sendFile(name: string): unknown;
    header(n: string, v: string): unknown;
  }) => {
    reply.header('Cache-Control', 'no-cache');
    return reply.sendFile('index.html');
  };
  fastify.get('/*', async (request, reply) => {
    const path = decodeURIComponent(request.url.split('?')[0]!);
    if (path.startsWith('/v1/') || path.startsWith('/iiif/')) {
      reply.callNotFound();
      return reply;
    }
    const file = path.slice(1);
    // `/at/SLM.wI.2b` is a place of the studio: marks hold dots.
    const isPlace = path.startsWith('/at/');
    const isFile = /\.[a-z0-9]+$/i.test(file) && !file.split('/').includes('..');
    if (isPlace || !isFile) return page(reply);
    if (!(await exists(join(studioDir, file)))) {
      reply.callNotFound();
      return reply;
    }
    if (file.startsWith('assets/')) {
      return reply.sendFile(file, { maxAge: '365d', immutable: true, cacheControl: true });
    }
    reply.header('Cache-Control', 'no-cache');
    return reply.sendFile(file);
  });
}

async function exists(path: string): Promise<boolean> {
  return access(path).then(
    () => true,
    () => false,
  );
}
