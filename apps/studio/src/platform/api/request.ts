/**
 * One way to ask the archive: JSON over /v1, problems (RFC 9457) as {@link Refused}.
 * Every concept beside this file says what it asks for; nothing else in the studio calls fetch.
 */

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
    super(problem.detail ?? problem.title ?? `The archive refused this (${status}).`);
    this.name = 'Refused';
    this.status = status;
    this.problem = problem;
  }

  get field(): string | undefined {
    return typeof this.problem.field === 'string' ? this.problem.field : undefined;
  }
}

export interface EntryRef {
  readonly logId: string;
  readonly seq: number;
}

/** What every write answers beside the thing itself. */
export interface Written {
  readonly version: number | string;
  readonly entry: EntryRef;
}

export interface Page<T> {
  readonly items: readonly T[];
  readonly next: string | null;
}

export type Query = Readonly<Record<string, string | number | null | undefined>>;

interface Asking {
  readonly query?: Query | undefined;
  readonly body?: unknown;
  /** version of the thing that this revision was made from */
  readonly ifMatch?: number | string | undefined;
  readonly signal?: AbortSignal | undefined;
}

/** `/path?query` without the empty members. */
export function pathWith(path: string, query: Query = {}): string {
  const search = new URLSearchParams();
  for (const [name, value] of Object.entries(query))
    if (value !== null && value !== undefined && value !== '') search.set(name, String(value));
  const text = search.toString();
  return text === '' ? path : `${path}?${text}`;
}

async function ask<T>(method: string, path: string, asking: Asking): Promise<T> {
  const headers: Record<string, string> = { accept: 'application/json' };
  if (method !== 'GET') headers['content-type'] = 'application/json';
  if (method === 'POST' || method === 'PUT') headers['idempotency-key'] = crypto.randomUUID();
  if (asking.ifMatch !== undefined) headers['if-match'] = `"${asking.ifMatch}"`;
  const answer = await fetch(pathWith(path, asking.query), {
    method,
    headers,
    credentials: 'same-origin',
    ...(method === 'GET' ? {} : { body: JSON.stringify(asking.body ?? {}) }),
    ...(asking.signal ? { signal: asking.signal } : {}),
  });
  const text = await answer.text();
  const isJson = (answer.headers.get('content-type') ?? '').includes('json');
  const value: unknown = text !== '' && isJson ? JSON.parse(text) : undefined;
  if (!answer.ok)
    throw new Refused(
      answer.status,
      (value as Problem | undefined) ?? { title: text.slice(0, 200) },
    );
  return value as T;
}

export const get = <T>(path: string, query?: Query, signal?: AbortSignal): Promise<T> =>
  ask<T>('GET', path, { query, signal });
export const post = <T>(path: string, body: unknown, ifMatch?: number | string): Promise<T> =>
  ask<T>('POST', path, { body, ifMatch });
export const put = <T>(path: string, body: unknown, ifMatch?: number | string): Promise<T> =>
  ask<T>('PUT', path, { body, ifMatch });
export const remove = <T>(path: string): Promise<T> => ask<T>('DELETE', path, {});

/** Every page of a keyset list, at most `most` rows (a drawing needs them all at once). */
export async function everyPage<T>(
  path: string,
  query: Query = {},
  signal?: AbortSignal,
  most = 5000,
): Promise<readonly T[]> {
  const items: T[] = [];
  let after: string | null = null;
  do {
    const page: Page<T> = await get<Page<T>>(path, { ...query, after }, signal);
    items.push(...page.items);
    after = page.next;
  } while (after !== null && items.length < most);
  return items;
}
