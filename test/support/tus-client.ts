/** A resumable upload as a client sends it (tus 1.0); `headers` come last, for what a test changes. */
import { request } from 'node:http';
import type { Client } from './media-archive.js';

type Headers = Readonly<Record<string, string>>;

/** Every request of the protocol carries it. */
export const TUS = { 'Tus-Resumable': '1.0.0' };
export const TUS_PART = { ...TUS, 'Content-Type': 'application/offset+octet-stream' };

/** @param metadata the file's description; values go over in base64 */
export function beginUpload(
  client: Client,
  lengthBytes: number | string,
  metadata: Headers,
  headers: Headers = {},
): Promise<Response> {
  return client.fetch('/v1/uploads', {
    method: 'POST',
    headers: {
      ...TUS,
      'Upload-Length': String(lengthBytes),
      'Upload-Metadata': Object.entries(metadata)
        .map(([key, value]) => `${key} ${Buffer.from(value).toString('base64')}`)
        .join(','),
      ...headers,
    },
  });
}

export function sendPart(
  client: Client,
  path: string,
  offset: number,
  body: Uint8Array,
  headers: Headers = {},
): Promise<Response> {
  return client.fetch(path, {
    method: 'PATCH',
    headers: { ...TUS_PART, 'Upload-Offset': String(offset), ...headers },
    body,
  });
}

export function askUpload(client: Client, path: string): Promise<Response> {
  return client.fetch(path, { method: 'HEAD', headers: TUS });
}

/**
 * Begins a part and leaves the request open: what was sent has left this machine when it resolves.
 * Nothing is heard of the answer.
 *
 * @param announcedBytes length of the part as the server is told
 */
export function openPart(
  { url, cookie }: Client,
  path: string,
  offset: number,
  { sent, announcedBytes }: { sent: Uint8Array; announcedBytes: number },
  headers: Headers = {},
): Promise<{ cut(): void }> {
  const { hostname, port } = new URL(url);
  return new Promise((resolve) => {
    const open = request({
      hostname,
      port,
      path,
      method: 'PATCH',
      headers: {
        ...TUS_PART,
        Cookie: cookie,
        'Content-Length': announcedBytes,
        'Upload-Offset': String(offset),
        ...headers,
      },
    });
    const part = {
      cut: () => {
        open.destroy();
      },
    };
    // the server is killed under it, or the line is cut: nobody is there to hear
    open.on('error', () => {
      resolve(part);
    });
    open.write(sent, () => {
      resolve(part);
    });
  });
}
