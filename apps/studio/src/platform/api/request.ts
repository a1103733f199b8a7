/**
 * The archive's API through its generated client: problems (RFC 9457) become {@link Refused}, writes
 * carry an idempotency key. Every concept beside this file says what it asks for; only pictures,
 * uploads and job events go another way.
 */

import { apiClient } from '#libs/api-client';
import { say } from '../language/say.js';
import { newId } from '../new-id.js';
import { answer, forgetFirst } from './first-answers.js';

export interface Problem {
  readonly type?: string;
  readonly title?: string;
  readonly status?: number;
  readonly detail?: string;
  readonly field?: string;
  readonly [member: string]: unknown;
}

/** The archive said no, and why. `message` is a sentence for a person. */
export class Refused extends Error {
  readonly problem: Problem;
  readonly status: number;

  constructor(status: number, problem: Problem) {
    super(
      problem.detail ?? problem.title ?? say('The archive refused this ({status}).', { status }),
    );
    this.name = 'Refused';
    this.status = status;
    this.problem = problem;
  }

  /** which refusal it is: 'finding-known' */
  get code(): string | undefined {
    return this.problem.type?.split('/').at(-1);
  }

  get field(): string | undefined {
    return typeof this.problem.field === 'string' ? this.problem.field : undefined;
  }
}

export interface Page<T> {
  readonly items: readonly T[];
  readonly next: string | null;
}

export const client = apiClient('', answer);

/** Told after every write that the archive took: its history has grown. */
export const writes = new EventTarget();

client.use({
  onResponse({ request, response }) {
    if (request.method !== 'GET' && response.ok) writes.dispatchEvent(new Event('taken'));
  },
  onRequest({ request }) {
    if (request.method !== 'GET') forgetFirst();
    const isWrite = request.method === 'POST' || request.method === 'PUT';
    // What waits on a device has a key of its own, so that it is written once however often it is sent.
    if (isWrite && !request.headers.has('Idempotency-Key'))
      request.headers.set('Idempotency-Key', newId());
    if (request.method === 'GET' || request.headers.has('Content-Type')) return request;
    // A write by cookie must not look like a form's: it says JSON, and then there must be some.
    const headers = new Headers(request.headers);
    headers.set('Content-Type', 'application/json');
    return new Request(request, { headers, body: '{}' });
  },
});

/** The data of an answer. @throws Refused */
export async function taken<T>(
  asked: Promise<{ data?: T; error?: unknown; response: Response }>,
): Promise<T> {
  const { data, error, response } = await asked;
  if (!response.ok) throw new Refused(response.status, asProblem(error));
  return data as T;
}

const asProblem = (error: unknown): Problem =>
  typeof error === 'object' && error !== null
    ? (error as Problem)
    : { title: typeof error === 'string' ? error.slice(0, 200) : say('The archive refused this.') };

/** `"<version>"`, as If-Match wants it (RFC 9110 § 13.1.1). */
export const ifMatch = (version: number): { 'If-Match': string } => ({
  'If-Match': `"${version}"`,
});

/** Every page of a keyset list, at most `most` rows (a drawing needs them all at once). */
export async function everyPage<T>(
  ask: (after: string | undefined) => Promise<Page<T>>,
  most = 5000,
): Promise<readonly T[]> {
  const items: T[] = [];
  let after: string | undefined;
  do {
    const page = await ask(after);
    items.push(...page.items);
    after = page.next ?? undefined;
  } while (after !== undefined && items.length < most);
  return items;
}
