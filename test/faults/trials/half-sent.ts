/** A part of an upload whose sender is gone before the answer. */
import { request } from 'node:http';
import type { Client } from '../../support/media-archive.js';

/** Announces the whole part, sends `sentBytes` of it and cuts the line. Never rejects: nobody is there to hear. */
export function halfSent(
  client: Client,
  path: string,
  offset: number,
  part: Uint8Array,
  sentBytes: number,
): Promise<void> {
  const { hostname, port } = new URL(client.url);
  return new Promise((resolve) => {
    const open = request({
      hostname,
      port,
      path,
      method: 'PATCH',
      headers: {
        'Tus-Resumable': '1.0.0',
        Cookie: client.cookie,
        'Content-Type': 'application/offset+octet-stream',
        'Content-Length': part.length,
        'Upload-Offset': String(offset),
      },
    });
    const cut = () => {
      open.destroy();
      resolve();
    };
    open.on('error', cut);
    open.write(part.subarray(0, sentBytes), cut);
  });
}
