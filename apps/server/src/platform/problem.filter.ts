import {
  type ArgumentsHost,
  Catch,
  type ExceptionFilter,
  HttpException,
  Logger,
  NotFoundException,
} from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { isDatabaseAway } from '#libs/archive';
import { isDiskFull, isFault } from '#libs/objects';
import { Problem, type ProblemCode, problemBody } from '#libs/problem';

/** What somebody must look into; everything else is for the person who asked. */
const OURS: ReadonlySet<ProblemCode> = new Set([
  'internal',
  'archive-unavailable',
  'archive-full',
  'object-damaged',
]);

/** The only place where an error becomes an HTTP answer. */
@Catch()
export class ProblemFilter implements ExceptionFilter {
  private readonly log = new Logger(ProblemFilter.name);

  catch(error: unknown, host: ArgumentsHost): void {
    const request = host.switchToHttp().getRequest<FastifyRequest>();
    const reply = host.switchToHttp().getResponse<FastifyReply>();
    this.answer(error, request, reply);
  }

  answer(error: unknown, request: FastifyRequest, reply: FastifyReply): void {
    const problem = asProblem(error, request);
    const body = problemBody(problem, request.url.split('?')[0]!);
    // Other 5xx (a picture asked for in a way that is not offered) are answers, not failures.
    if (OURS.has(problem.code)) this.log.error(problem.cause ?? error);
    // A stream that broke half way cannot turn into another answer.
    if (reply.raw.headersSent) {
      reply.raw.destroy();
      return;
    }
    if (body.status === 401) void reply.header('WWW-Authenticate', 'Bearer');
    const { retryAfterS } = problem.members;
    if (typeof retryAfterS === 'number') void reply.header('Retry-After', String(retryAfterS));
    void reply.status(body.status).type('application/problem+json').send(body);
  }
}

function asProblem(error: unknown, request: FastifyRequest): Problem {
  if (error instanceof Problem) return error;
  if (error instanceof NotFoundException) {
    return new Problem(
      'route-unknown',
      `Nothing answers ${request.method} at this address. /v1/openapi.json lists what there is.`,
    );
  }
  // Nest wraps what Fastify threw and keeps it as the cause.
  const fromFastify =
    ofFastify(error) ?? (error instanceof HttpException ? ofFastify(error.cause) : undefined);
  if (fromFastify !== undefined) return fromFastify;
  if (error instanceof HttpException && error.getStatus() < 500) {
    return new Problem('request-invalid', error.message, {}, { cause: error });
  }
  const fromStore = ofStore(error);
  if (fromStore !== undefined) return fromStore;
  // The message of an unforeseen error may hold a path, a query or a secret: log it, never send it.
  return new Problem(
    'internal',
    'The server’s log says more. Tell the keeper.',
    {},
    { cause: error },
  );
}

/** What the database, the object store, or the disk that bytes arrive on, could not do. */
function ofStore(error: unknown): Problem | undefined {
  const cause = { cause: error };
  if (isDiskFull(error)) {
    const detail =
      'The archive’s disk is full: nothing of this was kept. Tell the keeper; send it again once there is room.';
    return new Problem('archive-full', detail, {}, cause);
  }
  if (isFault(error, 'store-unavailable')) {
    const detail =
      'The store of objects does not answer as it should: nothing was acknowledged. Send it again in a while; if that does not help, tell the keeper.';
    return new Problem('archive-unavailable', detail, {}, cause);
  }
  if (isDatabaseAway(error)) {
    const detail =
      'The archive’s database does not answer: nothing was acknowledged. Send it again in a while; if that does not help, tell the keeper.';
    return new Problem('archive-unavailable', detail, {}, cause);
  }
  if (isFault(error, 'object-damaged', 'object-missing')) {
    const detail =
      'An object that the ledger names is missing from the store or damaged there. Tell the keeper: mullion admin scrub says which, and mends it where a replica holds it.';
    return new Problem('object-damaged', detail, {}, cause);
  }
  return undefined;
}

// Fastify lib/errors.js: what its body reader and router throw.
function ofFastify(error: unknown): Problem | undefined {
  if (!(error instanceof Error)) return undefined;
  const code = (error as { code?: unknown }).code;
  switch (code) {
    case 'FST_ERR_CTP_BODY_TOO_LARGE':
      return new Problem(
        'body-too-large',
        'The body is larger than this address takes. Send large files as uploads, long texts shortened.',
        { field: 'body' },
      );
    case 'FST_ERR_CTP_INVALID_MEDIA_TYPE':
      return new Problem(
        'media-type-unsupported',
        'The Content-Type cannot be read, or is not one that the API description names here. JSON is sent as application/json.',
        {
          field: 'Content-Type',
        },
      );
    case 'FST_ERR_CTP_EMPTY_JSON_BODY':
    case 'FST_ERR_CTP_INVALID_JSON_BODY':
    case 'FST_ERR_CTP_INVALID_CONTENT_LENGTH':
      return new Problem('body-unreadable', 'The body is not JSON. Correct it and send it again.', {
        field: 'body',
      });
    case 'FST_ERR_BAD_URL':
    case 'FST_ERR_MAX_PARAM_LENGTH':
      return new Problem(
        'request-invalid',
        'A part of the address cannot be read, or is longer than any id. Correct it and send the request again.',
        { field: 'path' },
      );
    default:
      break;
  }
  const status = (error as { statusCode?: unknown }).statusCode;
  if (error instanceof SyntaxError && status === 400) {
    return new Problem('body-unreadable', 'The body is not JSON. Correct it and send it again.', {
      field: 'body',
    });
  }
  if (typeof status === 'number' && status >= 400 && status < 500) {
    return new Problem('request-invalid', error.message, {}, { cause: error });
  }
  return undefined;
}
