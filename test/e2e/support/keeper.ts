/** The first keeper of a fresh archive, by the API: what a test puts in before it looks at screens. */
import type { BrowserContext } from 'playwright-core';
import type { RunningMullion } from './running-mullion.js';

export interface Keeper {
  readonly post: <T>(
    path: string,
    body: unknown,
    headers?: Readonly<Record<string, string>>,
  ) => Promise<T>;
  /** what the archive answers to a path */
  readonly ask: <T>(path: string) => Promise<T>;
  readonly bytes: (path: string) => Promise<Uint8Array>;
  /** signs the browser in */
  readonly enter: (context: BrowserContext) => Promise<void>;
}

export async function firstKeeper({ origin, welcome }: RunningMullion): Promise<Keeper> {
  const json = { 'Content-Type': 'application/json' };
  const first = await fetch(`${origin}/v1/first-keeper`, {
    method: 'POST',
    headers: json,
    body: JSON.stringify({
      token: welcome.split('welcome=')[1],
      displayName: 'Studio head',
      login: 'head',
      password: 'seven slow herons on a wall',
    }),
  });
  const cookie = first.headers.get('set-cookie')?.split(';')[0] ?? '';
  const get = async (path: string): Promise<Response> => {
    const answer = await fetch(`${origin}${path}`, { headers: { Cookie: cookie } });
    if (!answer.ok) throw new Error(`${path}: ${await answer.text()}`);
    return answer;
  };
  return {
    async post<T>(path: string, body: unknown, headers = {}) {
      const answer = await fetch(`${origin}${path}`, {
        method: 'POST',
        headers: { ...json, ...headers, Cookie: cookie, 'Idempotency-Key': crypto.randomUUID() },
        body: JSON.stringify(body),
      });
      if (answer.status >= 300) throw new Error(`${path}: ${await answer.text()}`);
      return (await answer.json()) as T;
    },
    ask: async <T>(path: string) => (await (await get(path)).json()) as T,
    bytes: async (path) => new Uint8Array(await (await get(path)).arrayBuffer()),
    async enter(context) {
      const [name = '', value = ''] = cookie.split('=');
      await context.addCookies([{ name, value, url: origin }]);
    },
  };
}
