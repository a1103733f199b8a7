/**
 * Keeps one version of the studio on the device, whole, so that it opens without a line. A page is asked
 * for over the network first and comes from here when that does not answer; the archive's answers are
 * never kept. A newer version waits until a page says that nothing is under way.
 */
import { type ShellList, toKeep } from './shell-list.js';

// The build puts the list of its files in here (apps/studio/vite.config.ts).
declare const SHELL: ShellList;

interface WorkerEvent extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface WorkerFetchEvent extends WorkerEvent {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
}
interface WorkerScope {
  readonly location: Location;
  skipWaiting(): Promise<void>;
  readonly clients: { claim(): Promise<void> };
  addEventListener(type: 'install' | 'activate', hear: (event: WorkerEvent) => void): void;
  addEventListener(type: 'fetch', hear: (event: WorkerFetchEvent) => void): void;
  addEventListener(type: 'message', hear: (event: MessageEvent) => void): void;
}
const worker = self as unknown as WorkerScope;

/** A page that has not come by then comes from the device. */
const PATIENCE_MS = 4_000;
const PAGE = '/index.html';
const NAME = 'mullion-shell-';
const here = `${NAME}${SHELL.version}`;

worker.addEventListener('install', (event) => {
  event.waitUntil(keepShell());
});
worker.addEventListener('activate', (event) => {
  event.waitUntil(
    (async () => {
      for (const name of await namesToRemove()) await caches.delete(name);
      await worker.clients.claim();
    })(),
  );
});
worker.addEventListener('message', ({ data }) => {
  if (data === 'take-over') void worker.skipWaiting();
});
worker.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== worker.location.origin) return;
  if (url.pathname.startsWith('/v1/') || url.pathname.startsWith('/iiif/')) return;
  if (request.mode === 'navigate') event.respondWith(page(request));
  else if (toKeep(url.pathname, SHELL)) event.respondWith(file(request));
});

async function keepShell(): Promise<void> {
  const cache = await caches.open(here);
  await cache.addAll(SHELL.files.map((path) => new Request(path, { cache: 'no-cache' })));
}

/** The version before stays: a page that is open may still ask for its parts. */
async function namesToRemove(): Promise<string[]> {
  const older = (await caches.keys()).filter((name) => name.startsWith(NAME) && name !== here);
  return older.slice(0, -1);
}

async function page(request: Request): Promise<Response> {
  const limit = new AbortController();
  const timer = setTimeout(() => {
    limit.abort();
  }, PATIENCE_MS);
  try {
    const answer = await fetch(request.url, {
      signal: limit.signal,
      credentials: 'same-origin',
      redirect: 'manual',
    });
    if (answer.ok) return answer;
    throw new Error(`the page came with ${answer.status}`);
  } catch {
    return (await (await caches.open(here)).match(PAGE)) ?? Response.error();
  } finally {
    clearTimeout(timer);
  }
}

async function file(request: Request): Promise<Response> {
  const kept = await caches.match(request, { ignoreVary: true });
  return kept ?? fetch(request);
}
