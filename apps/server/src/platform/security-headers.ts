import type { FastifyInstance } from 'fastify';

// Pictures come as blob: (uploads not yet sent) and data: (hatches); workers run the pure libs.
const STUDIO_POLICY = [
  "default-src 'self'",
  "img-src 'self' blob: data:",
  "style-src 'self' 'unsafe-inline'",
  "font-src 'self' data:",
  "script-src 'self' 'wasm-unsafe-eval'",
  "worker-src 'self' blob:",
  "connect-src 'self' blob:",
  "object-src 'none'",
  "base-uri 'none'",
  "form-action 'self'",
  "frame-ancestors 'none'",
].join('; ');

// A stored file, opened by itself, may run nothing.
const FILE_POLICY = "default-src 'none'; img-src 'self' data:; style-src 'unsafe-inline'; sandbox";

export function addSecurityHeaders(
  fastify: FastifyInstance,
  { isSecure }: { isSecure: boolean },
): void {
  fastify.addHook('onSend', (request, reply, payload, done) => {
    const isApi = request.url.startsWith('/v1/') || request.url.startsWith('/iiif/');
    reply.header('X-Content-Type-Options', 'nosniff');
    reply.header('Referrer-Policy', 'same-origin');
    reply.header('X-Frame-Options', 'DENY');
    reply.header('Cross-Origin-Opener-Policy', 'same-origin');
    reply.header('Cross-Origin-Resource-Policy', 'same-origin');
    if (!reply.hasHeader('Content-Security-Policy')) {
      reply.header('Content-Security-Policy', isApi ? FILE_POLICY : STUDIO_POLICY);
    }
    if (isApi && !reply.hasHeader('Cache-Control'))
      reply.header('Cache-Control', 'private, no-store');
    if (isSecure) reply.header('Strict-Transport-Security', 'max-age=31536000');
    done(null, payload);
  });
}
