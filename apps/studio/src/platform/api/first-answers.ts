/**
 * What the archive answers to the first screen, asked for while its code is still on the way: the
 * page's head names it, and `askFirst` takes it up. Each answer is given once, to whoever asks first.
 */

/** An answer older than this says too little of now. */
const FRESH_MS = 15_000;

interface Told {
  readonly type: string;
  readonly body: unknown;
}

interface Coming {
  readonly sinceMs: number;
  /** by path */
  readonly answers: Promise<Map<string, Told>>;
  /** the lead drawings of the window that the address names */
  readonly outline: Promise<Response | undefined>;
}

let coming: Coming | undefined;

/** @param path as the address bar has it: the server names the same addresses to the browser */
export function askFirst(path: string): void {
  if (path === '/phone') return;
  const at = `?at=${encodeURIComponent(path)}`;
  coming = {
    sinceMs: performance.now(),
    answers: fetch(`/first/answers${at}`).then(told, () => new Map<string, Told>()),
    outline: /^\/at\/[^/]+$/.test(path)
      ? fetch(`/first/outline${at}`).catch(() => undefined)
      : Promise.resolve(undefined),
  };
}

/** What was asked for already; over the network otherwise. */
export async function answer(request: Request): Promise<Response> {
  const { pathname, search } = new URL(request.url);
  const here = coming;
  if (here === undefined || request.method !== 'GET' || search !== '') return fetch(request);
  if (performance.now() - here.sinceMs > FRESH_MS) {
    coming = undefined;
    return fetch(request);
  }
  if (pathname.endsWith('/outline')) {
    const outline = await here.outline;
    const isThis = outline?.ok === true && outline.headers.get('Content-Location') === pathname;
    return isThis && !outline.bodyUsed ? outline : fetch(request);
  }
  const answers = await here.answers;
  const known = answers.get(pathname);
  answers.delete(pathname);
  if (known === undefined || here !== coming) return fetch(request);
  const body = typeof known.body === 'string' ? known.body : JSON.stringify(known.body);
  return new Response(body, { headers: { 'Content-Type': known.type } });
}

/** After a write nothing that was asked before holds. */
export function forgetFirst(): void {
  coming = undefined;
}

async function told(response: Response): Promise<Map<string, Told>> {
  if (!response.ok) return new Map();
  try {
    return new Map(Object.entries((await response.json()) as Record<string, Told>));
  } catch {
    return new Map();
  }
}
