/**
 * One definition drives the Nest route, the check of what comes in and the OpenAPI document.
 *
 * The method that carries `@Route(definition)` gives the operationId; its one parameter is
 * `@Asked() asked: AskedFor<typeof definition>`.
 */
import {
  applyDecorators,
  createParamDecorator,
  type ExecutionContext,
  HttpCode,
  RequestMapping,
  RequestMethod,
  SetMetadata,
} from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import { parsed, type Role } from '#libs/archive';
import { Problem, type ProblemCode } from '#libs/problem';
import { type Actor, actorOf } from './actor.js';

export interface RouteDefinition {
  readonly method: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE' | 'HEAD';
  /** as in OpenAPI: `/v1/panels/{panelId}/findings` */
  readonly path: string;
  readonly tag: string;
  readonly summary: string;
  /** 'public', 'signed-in', or the role that is asked for at the site */
  readonly access: 'public' | 'signed-in' | Role;
  readonly params?: z.ZodObject;
  readonly query?: z.ZodObject;
  /** JSON body */
  readonly body?: z.ZodType;
  /** body that is no JSON: its media types, for the document */
  readonly bodyTypes?: readonly string[];
  /** JSON answer; left out where the answer is a file or a stream */
  readonly answer?: z.ZodType;
  readonly answerTypes?: readonly string[];
  readonly status?: number;
  /** takes `If-Match`: 'required', or 'optional' where a first version may be written */
  readonly revises?: 'required' | 'optional';
  /** the answer holds a secret and is not kept for a retry */
  readonly tellsSecret?: true;
  readonly problems?: readonly ProblemCode[];
}

export const ROUTE = Symbol('route');

export interface RegisteredRoute extends RouteDefinition {
  readonly operationId: string;
}

const registered = new Map<string, RegisteredRoute>();

/** Every route with a definition, in a stable order. */
export function registeredRoutes(): RegisteredRoute[] {
  return [...registered.values()].sort((a, b) =>
    a.path === b.path ? (a.method < b.method ? -1 : 1) : a.path < b.path ? -1 : 1,
  );
}

/** Keeps the literal types of a definition. */
export function route<const D extends RouteDefinition>(definition: D): D {
  return definition;
}

export function Route(definition: RouteDefinition): MethodDecorator {
  return (target, key, descriptor) => {
    const operationId = String(key);
    const other = registered.get(operationId);
    if (other !== undefined && other.path !== definition.path) {
      throw new Error(`two routes are called ${operationId}: ${other.path} and ${definition.path}`);
    }
    registered.set(operationId, { ...definition, operationId });
    applyDecorators(
      RequestMapping({ path: nestPath(definition.path), method: RequestMethod[definition.method] }),
      HttpCode(definition.status ?? 200),
      SetMetadata(ROUTE, definition),
    )(target, key, descriptor);
  };
}

/** A last part called `{files}` takes all that follows, slashes too: `/v1/logs/{logId}/tile/{files}`. */
export function nestPath(path: string): string {
  return path.replace(/\{files\}$/, '*').replace(/\{(\w+)\}/g, ':$1');
}

type Out<T> = T extends z.ZodType ? z.output<T> : undefined;
type PathParams<P extends string> = P extends `${string}{${infer Name}}${infer Rest}`
  ? { [K in Name]: string } & PathParams<Rest>
  : unknown;

/** What a handler is given: checked against its definition. */
export interface AskedFor<D extends RouteDefinition> {
  readonly params: D['params'] extends z.ZodType ? z.output<D['params']> : PathParams<D['path']>;
  readonly query: Out<D['query']>;
  readonly body: Out<D['body']>;
  /** @throws {Problem} `sign-in-required`; never on a route that is not public */
  readonly actor: Actor;
  readonly request: FastifyRequest;
  readonly reply: FastifyReply;
}

export const Asked = createParamDecorator((_: unknown, context: ExecutionContext): unknown => {
  const definition = Reflect.getMetadata(ROUTE, context.getHandler()) as RouteDefinition;
  const request = context.switchToHttp().getRequest<FastifyRequest>();
  const reply = context.switchToHttp().getResponse<FastifyReply>();
  return {
    params: parsed(definition.params ?? idParams(definition.path), pathParams(request), 'path'),
    query: definition.query && parsed(definition.query, request.query, 'query'),
    body: definition.body && parsed(definition.body, jsonBody(request)),
    get actor() {
      return actorOf(request);
    },
    request,
    reply,
  };
});

function pathParams(request: FastifyRequest): unknown {
  const { '*': files, ...params } = request.params as Record<string, string>;
  return files === undefined ? params : { ...params, files };
}

/** Path parameters that end in Id are UUIDs, unless a definition says otherwise. */
export function idParams(path: string): z.ZodObject {
  let schema = idParamsOf.get(path);
  if (schema === undefined) {
    schema = makeIdParams(path);
    idParamsOf.set(path, schema);
  }
  return schema;
}

// made once a path: zod compiles a schema, which for a tile took longer than reading it
const idParamsOf = new Map<string, z.ZodObject>();

function makeIdParams(path: string): z.ZodObject {
  const names = [...path.matchAll(/\{(\w+)\}/g)].map((found) => found[1]!);
  return z.object(
    Object.fromEntries(
      names.map((name) => [name, name.endsWith('Id') ? z.uuid() : z.string().min(1).max(200)]),
    ),
  );
}

function jsonBody(request: FastifyRequest): unknown {
  const type = request.headers['content-type'] ?? '';
  if (!/^application\/(?:[\w.+-]+\+)?json\b/i.test(type)) {
    throw new Problem(
      'media-type-unsupported',
      `Send the body as JSON with Content-Type: application/json; it came as ${type === '' ? 'nothing' : type}.`,
      { field: 'Content-Type' },
    );
  }
  return request.body;
}
