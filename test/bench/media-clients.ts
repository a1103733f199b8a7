/** The two ways by which a file reaches the archive, as a client goes them. */
import type { Client } from '../support/media-archive.js';

/** Sends a document by one streaming PUT. @returns its mediaId */
export async function putFile(keeper: Client, siteId: string, bytes: Buffer): Promise<string> {
  const response = await keeper.fetch(`/v1/sites/${siteId}/media?fileName=a&kind=document`, {
    method: 'PUT',
    body: bytes,
    headers: { 'Content-Type': 'application/octet-stream' },
  });
  if (response.status !== 201) throw new Error(await response.text());
  return ((await response.json()) as { mediaId: string }).mediaId;
}

/** Sends a document by tus 1.0: one POST, one PATCH. */
export async function tusFile(keeper: Client, siteId: string, bytes: Buffer): Promise<void> {
  const base = { 'Tus-Resumable': '1.0.0' };
  const metadata = { siteId, fileName: 'a', kind: 'document' };
  const begun = await keeper.fetch('/v1/uploads', {
    method: 'POST',
    headers: {
      ...base,
      'Upload-Length': String(bytes.length),
      'Upload-Metadata': Object.entries(metadata)
        .map(([key, value]) => `${key} ${Buffer.from(value).toString('base64')}`)
        .join(','),
    },
  });
  const last = await keeper.fetch(begun.headers.get('location')!, {
    method: 'PATCH',
    body: bytes,
    headers: {
      ...base,
      'Content-Type': 'application/offset+octet-stream',
      'Upload-Offset': '0',
    },
  });
  if (last.headers.get('mullion-media-id') === null) throw new Error(await last.text());
}
