/** The demo is filled through the same HTTP routes that the studio and every other program use. */
import { setTimeout as sleep } from 'node:timers/promises';

export interface DemoClient {
  get<T>(path: string): Promise<T>;
  /** @param key idempotency key: a filling that was cut short is taken up where it stopped */
  post<T>(path: string, key: string, body: unknown): Promise<T>;
  put<T>(path: string, key: string, body: unknown, ifMatch?: number): Promise<T>;
  /** Sends a file as it is. */
  send<T>(path: string, key: string, bytes: Uint8Array<ArrayBuffer>, type: string): Promise<T>;
}

/** Signs in as one of the demo's roles. */
export async function signedIn(origin: string, demoRole: string): Promise<DemoClient> {
  const answer = await fetch(`${origin}/v1/session`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ demoRole }),
  });
  if (!answer.ok) throw new Error(`POST /v1/session: ${await answer.text()}`);
  const cookie = answer.headers.getSetCookie()[0]?.split(';')[0];
  if (cookie === undefined) throw new Error('POST /v1/session set no cookie');
  return clientOf(origin, cookie);
}

/** @param cookie of somebody who is signed in */
export function clientOf(origin: string, cookie: string): DemoClient {
  async function asked<T>(path: string, init: RequestInit): Promise<T> {
    const response = await fetch(`${origin}${path}`, {
      ...init,
      headers: { ...(init.headers as Record<string, string>), Cookie: cookie },
    });
    if (!response.ok) {
      throw new Error(
        `${init.method ?? 'GET'} ${path}: ${response.status} ${await response.text()}`,
      );
    }
    return (await response.json()) as T;
  }

  const json = (method: string, key: string, body: unknown, ifMatch?: number): RequestInit => ({
    method,
    headers: {
      'Content-Type': 'application/json',
      'Idempotency-Key': key,
      ...(ifMatch === undefined ? {} : { 'If-Match': `"${ifMatch}"` }),
    },
    body: JSON.stringify(body),
  });
  return {
    get: (path) => asked(path, {}),
    post: (path, key, body) => asked(path, json('POST', key, body)),
    put: (path, key, body, ifMatch) => asked(path, json('PUT', key, body, ifMatch)),
    send: (path, key, bytes, type) =>
      asked(path, {
        method: 'PUT',
        headers: { 'Content-Type': type, 'Idempotency-Key': key },
        body: bytes,
      }),
  };
}

interface Job {
  state: string;
  ratio: number;
  result: Record<string, unknown> | null;
  problem: { detail?: string } | null;
}

/** Waits for a job of the worker. */
export async function jobDone(
  client: DemoClient,
  jobId: string,
  onRatio: (ratio: number) => Promise<void>,
): Promise<Record<string, unknown>> {
  for (;;) {
    const job = await client.get<Job>(`/v1/jobs/${jobId}`);
    if (job.state === 'done') return job.result ?? {};
    if (job.state === 'failed') throw new Error(job.problem?.detail ?? `job ${jobId} failed`);
    await onRatio(job.ratio);
    await sleep(400);
  }
}
