/** The demo is filled over the same HTTP interface that a studio uses. */
import { createReadStream } from 'node:fs';
import { Readable } from 'node:stream';

interface Written {
  readonly version: number;
}

export class DemoApi {
  readonly #baseUrl: string;
  #cookie = '';

  constructor(baseUrl: string) {
    this.#baseUrl = baseUrl;
  }

  /** Signs in as one of the demo's people; what follows is written in that name. */
  async signIn(demoRole: string): Promise<void> {
    const reply = await fetch(`${this.#baseUrl}/v1/session`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ demoRole }),
    });
    if (!reply.ok) throw new Error(`signing in as ${demoRole}: ${await reply.text()}`);
    this.#cookie = reply.headers
      .getSetCookie()
      .map((c) => c.split(';')[0])
      .join('; ');
  }

  async get<T>(path: string): Promise<T> {
    return this.#answer<T>(await this.#fetch('GET', path, {}));
  }

  /** @param key makes a second run of the same step give the first answer again */
  async post<T>(path: string, key: string, body: unknown): Promise<T & Written> {
    return this.#answer<T & Written>(
      await this.#fetch('POST', path, {
        body: JSON.stringify(body),
        headers: { 'content-type': 'application/json', 'idempotency-key': `demo ${key}` },
      }),
    );
  }

  async put<T>(path: string, body: unknown, ifMatch?: number): Promise<T & Written> {
    const headers: Record<string, string> = { 'content-type': 'application/json' };
    if (ifMatch !== undefined) headers['if-match'] = `"${ifMatch}"`;
    return this.#answer<T & Written>(
      await this.#fetch('PUT', path, { body: JSON.stringify(body), headers }),
    );
  }

  /** Attaches a file to a site; a file that is there already gives the mediaId it has. */
  async attach(siteId: string, file: string, about: Record<string, string>): Promise<string> {
    const reply = await this.#fetch(
      'PUT',
      `/v1/sites/${siteId}/media?${new URLSearchParams(about).toString()}`,
      {
        body: Readable.toWeb(createReadStream(file)) as ReadableStream,
        headers: { 'content-type': 'application/octet-stream' },
        duplex: 'half',
      },
    );
    const answer = (await reply.json()) as { mediaId?: string };
    if (answer.mediaId === undefined) {
      throw new Error(`attaching ${file}: ${JSON.stringify(answer)}`);
    }
    return answer.mediaId;
  }

  async #fetch(method: string, path: string, init: RequestInit): Promise<Response> {
    return fetch(`${this.#baseUrl}${path}`, {
      ...init,
      method,
      headers: { ...(init.headers as Record<string, string> | undefined), cookie: this.#cookie },
    });
  }

  async #answer<T>(reply: Response): Promise<T> {
    if (!reply.ok) throw new Error(`${reply.url}: ${reply.status} ${await reply.text()}`);
    return (await reply.json()) as T;
  }
}
