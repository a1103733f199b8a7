/** The first keeper of a fresh archive, by the API or through the screens. */
import type { BrowserContext, Page } from 'playwright-core';
import type { RunningMullion } from './running-mullion.js';

const KEEPER = {
  displayName: 'Studio head',
  login: 'head',
  password: 'seven slow herons on a wall',
} as const;

/** Starts an archive as a person does who opened the welcome link; the recovery sheet comes next. */
export async function startByScreens(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Start the studio’s archive' }).click();
  await page.getByLabel('Your name').fill(KEEPER.displayName);
  await page.getByLabel('Sign-in name').fill(KEEPER.login);
  await page.getByLabel('Password').fill(KEEPER.password);
  await page.getByRole('button', { name: 'Start the archive' }).click();
}

/** What a test puts in before it looks at screens. */
export interface Keeper {
  readonly post: <T>(
    path: string,
    body: unknown,
    headers?: Readonly<Record<string, string>>,
  ) => Promise<T>;
  /** @param version that was read, for If-Match; left out for what is set whether it was there or not */
  readonly put: <T>(path: string, body: unknown, version?: number) => Promise<T>;
  /** sends a picture */
  readonly send: <T>(path: string, bytes: Uint8Array, type: string) => Promise<T>;
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
    body: JSON.stringify({ token: welcome.split('welcome=')[1], ...KEEPER }),
  });
  const cookie = first.headers.get('set-cookie')?.split(';')[0] ?? '';
  const get = async (path: string): Promise<Response> => {
    const answer = await fetch(`${origin}${path}`, { headers: { Cookie: cookie } });
    if (!answer.ok) throw new Error(`${path}: ${await answer.text()}`);
    return answer;
  };
  const write = async <T>(
    method: string,
    path: string,
    body: string | Uint8Array<ArrayBuffer>,
    headers: Readonly<Record<string, string>>,
  ) => {
    const answer = await fetch(`${origin}${path}`, {
      method,
      headers: { ...headers, Cookie: cookie, 'Idempotency-Key': crypto.randomUUID() },
      body,
    });
    if (answer.status >= 300) throw new Error(`${path}: ${await answer.text()}`);
    return (await answer.json()) as T;
  };
  return {
    post: (path, body, headers) =>
      write('POST', path, JSON.stringify(body), { ...json, ...headers }),
    put: (path, body, version) =>
      write('PUT', path, JSON.stringify(body), {
        ...json,
        ...(version === undefined ? {} : { 'If-Match': `"${version}"` }),
      }),
    send: (path, bytes, type) =>
      write('PUT', path, new Uint8Array(bytes), { 'Content-Type': type }),
    ask: async <T>(path: string) => (await (await get(path)).json()) as T,
    bytes: async (path) => new Uint8Array(await (await get(path)).arrayBuffer()),
    async enter(context) {
      const [name = '', value = ''] = cookie.split('=');
      await context.addCookies([{ name, value, url: origin }]);
    },
  };
}
