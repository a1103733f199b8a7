/** The two ways by which a file reaches the archive, as a client goes them. */
import type { Client } from '../support/media-archive.js';
import { beginUpload, sendPart } from '../support/tus-client.js';

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
  const said = { siteId, fileName: 'a', kind: 'document' };
  const begun = await beginUpload(keeper, bytes.length, said);
  const last = await sendPart(keeper, begun.headers.get('location')!, 0, bytes);
  if (last.headers.get('mullion-media-id') === null) throw new Error(await last.text());
}
