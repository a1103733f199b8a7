import { stat } from 'node:fs/promises';
import { join, resolve, sep } from 'node:path';
import fastifyStatic from '@fastify/static';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import type { FastifyInstance } from 'fastify';
import { firstLinks, serveFirstAnswers } from './first-answers.js';

/** An address that ends so wants a file; any other is the studio's own, and may hold a mark's dots. */
const FILE_ENDING = /\.(?:js|css|map|html|json|webmanifest|svg|png|jpg|ico|woff2?|wasm|txt)$/i;

/**
 * The studio at `/`. Files with a hash in their name (Vite puts them into assets/) never change;
 * addresses without a file are the studio's own and get its page.
 */
export async function serveStudio(app: NestFastifyApplication, studioDir: string): Promise<void> {
  if (!(await isFile(join(studioDir, 'index.html')))) {
    throw new Error(`${studioDir} holds no studio: build it with npm run build:studio`);
  }
  const fastify: FastifyInstance = app.getHttpAdapter().getInstance();
  await app.register(fastifyStatic, {
    root: studioDir,
    serve: false,
    cacheControl: false,
    preCompressed: true, // the build lays gzipped copies beside what it makes
  });
  serveFirstAnswers(fastify);
  fastify.get('/*', async (request, reply) => {
    const file = pathWithin(studioDir, request.url);
    const isApi = /^\/(?:v1|iiif)\//.test(request.url);
    if (file === undefined || isApi) {
      reply.callNotFound();
      return reply;
    }
    if (file !== '' && (await isFile(join(studioDir, file)))) {
      const isForEver = file.startsWith('assets/');
      reply.header('Cache-Control', isForEver ? 'public, max-age=31536000, immutable' : 'no-cache');
      return reply.sendFile(file);
    }
    if (FILE_ENDING.test(file)) {
      reply.callNotFound();
      return reply;
    }
    reply.header('Cache-Control', 'no-cache');
    const links = firstLinks(request.url.split('?')[0]!);
    if (links !== undefined) reply.header('Link', links);
    return reply.sendFile('index.html');
  });
}

/** Path below the folder; undefined for one that leads out of it or cannot be read. */
function pathWithin(folder: string, url: string): string | undefined {
  let path: string;
  try {
    path = decodeURIComponent(url.split('?')[0]!);
  } catch {
    return undefined; // a lone % is no address of ours
  }
  const whole = resolve(folder, `.${path}`);
  const root = resolve(folder);
  if (path.includes('\0') || !(whole === root || whole.startsWith(root + sep))) return undefined;
  return whole.slice(root.length + 1);
}

async function isFile(path: string): Promise<boolean> {
  return stat(path).then(
    (found) => found.isFile(),
    () => false,
  );
}
