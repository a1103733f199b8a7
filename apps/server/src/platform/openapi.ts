/** OpenAPI 3.1 out of the registered routes: the zod schemas are JSON Schema 2020-12 already. */
import { z } from 'zod';
import { PROGRAM_VERSION, without } from '#libs/archive';
import { PROBLEMS, type ProblemCode } from '#libs/problem';
import { idParams, type RegisteredRoute, registeredRoutes } from './route.js';

const problemSchema = {
  type: 'object',
  description: 'RFC 9457. `type` is /problems/<code>; `detail` says what to do.',
  required: ['type', 'title', 'status', 'detail', 'instance'],
  properties: {
    type: { type: 'string' },
    title: { type: 'string' },
    status: { type: 'integer' },
    detail: { type: 'string' },
    instance: { type: 'string' },
    field: { type: 'string', description: 'the part of the request that does not fit' },
  },
  additionalProperties: true,
} as const;

export type OpenApiDocument = Record<string, unknown> & {
  openapi: string;
  paths: Record<string, Record<string, unknown>>;
};

export function openApiDocument(): OpenApiDocument {
  const routes = registeredRoutes();
  const paths: Record<string, Record<string, unknown>> = {};
  for (const one of routes) {
    (paths[one.path] ??= {})[one.method.toLowerCase()] = operation(one);
  }
  return {
    openapi: '3.1.1',
    info: {
      title: 'Mullion',
      version: PROGRAM_VERSION,
      description: 'The working archive of a stained-glass conservation studio.',
      license: { name: 'Apache-2.0', identifier: 'Apache-2.0' },
    },
    servers: [{ url: '/' }],
    security: [{ session: [] }, { token: [] }],
    tags: [...new Set(routes.map((one) => one.tag))].sort().map((name) => ({ name })),
    paths,
    components: {
      schemas: { Problem: problemSchema },
      securitySchemes: {
        session: { type: 'apiKey', in: 'cookie', name: 'mullion_session' },
        token: { type: 'http', scheme: 'bearer' },
      },
    },
  };
}

function operation(one: RegisteredRoute): Record<string, unknown> {
  const parameters = [
    ...parametersOf(one.params ?? idParams(one.path), 'path'),
    ...(one.query === undefined ? [] : parametersOf(one.query, 'query')),
    ...headersOf(one),
  ];
  return {
    operationId: one.operationId,
    tags: [one.tag],
    summary: one.summary,
    ...(one.access === 'public' ? { security: [] } : {}),
    ...(one.access === 'public' || one.access === 'signed-in'
      ? {}
      : { description: `Needs the role ${one.access} at the site.` }),
    ...(parameters.length === 0 ? {} : { parameters }),
    ...requestBody(one),
    responses: { ...success(one), ...refusals(one) },
  };
}

function requestBody(one: RegisteredRoute): Record<string, unknown> {
  if (one.body !== undefined) {
    return {
      requestBody: {
        required: true,
        content: { 'application/json': { schema: jsonSchema(one.body, 'input') } },
      },
    };
  }
  if (one.bodyTypes === undefined) return {};
  return {
    requestBody: {
      required: true,
      content: Object.fromEntries(one.bodyTypes.map((type) => [type, {}])),
    },
  };
}

function success(one: RegisteredRoute): Record<string, unknown> {
  const status = String(one.status ?? 200);
  if (one.answer !== undefined) {
    const schema = jsonSchema(one.answer, 'output');
    return { [status]: { description: 'done', content: { 'application/json': { schema } } } };
  }
  if (one.answerTypes !== undefined) {
    const content = Object.fromEntries(one.answerTypes.map((type) => [type, {}]));
    return { [status]: { description: 'the file', content } };
  }
  return { [status]: { description: 'done' } };
}

function refusals(one: RegisteredRoute): Record<string, unknown> {
  const codes = new Set<ProblemCode>(one.problems ?? []);
  codes.add('request-invalid');
  if (one.access !== 'public') codes.add('sign-in-required');
  if (one.access !== 'public' && one.access !== 'signed-in') codes.add('role-insufficient');
  if (one.body !== undefined) codes.add('body-unreadable').add('body-too-large');
  if (one.body !== undefined || one.bodyTypes !== undefined) codes.add('media-type-unsupported');
  if (one.method !== 'GET' && one.access !== 'public') codes.add('cross-origin-refused');
  if (one.revises !== undefined) codes.add('stale-version');
  if (one.revises === 'required') codes.add('version-required');
  const byStatus = new Map<number, ProblemCode[]>();
  for (const code of [...codes].sort()) {
    const { status } = PROBLEMS[code];
    byStatus.set(status, [...(byStatus.get(status) ?? []), code]);
  }
  return Object.fromEntries(
    [...byStatus]
      .sort(([a], [b]) => a - b)
      .map(([status, names]) => [
        String(status),
        {
          description: names.join(', '),
          content: {
            'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } },
          },
        },
      ]),
  );
}

function parametersOf(shape: z.ZodObject, place: 'path' | 'query'): Record<string, unknown>[] {
  const schema = z.toJSONSchema(shape, { io: 'input', unrepresentable: 'any' }) as {
    properties?: Record<string, { description?: string }>;
    required?: string[];
  };
  return Object.entries(schema.properties ?? {}).map(([name, { description, ...rest }]) => ({
    name,
    in: place,
    required: place === 'path' || (schema.required ?? []).includes(name),
    ...(description === undefined ? {} : { description }),
    schema: rest,
  }));
}

function headersOf(one: RegisteredRoute): Record<string, unknown>[] {
  const headers: Record<string, unknown>[] = [];
  const isWrite = one.method === 'POST' || one.method === 'PUT';
  if (isWrite && one.access !== 'public' && one.tellsSecret !== true) {
    headers.push({
      name: 'Idempotency-Key',
      in: 'header',
      required: false,
      description: 'a retry with the same key within a year is answered as the first time',
      schema: { type: 'string', maxLength: 200 },
    });
  }
  if (one.revises !== undefined) {
    headers.push({
      name: 'If-Match',
      in: 'header',
      required: one.revises === 'required',
      description: 'version that the revision was made from, in quotes',
      schema: { type: 'string' },
    });
  }
  return headers;
}

function jsonSchema(schema: z.ZodType, io: 'input' | 'output'): Record<string, unknown> {
  return without(z.toJSONSchema(schema, { io, unrepresentable: 'any' }), '$schema');
}
