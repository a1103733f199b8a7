/** Jobs followed to their end, and dossiers as somebody holds them who asked for them. */
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { verifyDossier } from '#libs/dossier';
import { type ApiArchive, answer } from './api-archive.js';

/** Follows a job by its events, as the studio does, until it is done. */
export async function followed(
  { keeper }: ApiArchive,
  jobId: string,
): Promise<{ events: string[]; result: Record<string, unknown> }> {
  const { text } = await keeper.get(`/v1/jobs/${jobId}/events`).expect(200);
  const events = [...text.matchAll(/^event: (\w+)$/gm)].map((found) => found[1]!);
  const last = [...text.matchAll(/^data: (.*)$/gm)].at(-1)![1]!;
  expect([events.at(-1), last]).toEqual(['done', last]);
  return { events, result: (JSON.parse(last) as { result: Record<string, unknown> }).result };
}

/**
 * Asks for a dossier, follows its job and fetches it; it must verify by itself against the archive's fingerprint.
 *
 * @returns the zip; it is not compressed, so what it holds can be looked for
 */
export async function writtenDossier(
  archive: ApiArchive,
  siteId: string,
  asked: { readonly subject: string; readonly kind: string },
  folder: string,
): Promise<Buffer> {
  const { dossierId, jobId } = await answer<{ dossierId: string; jobId: string }>(
    archive.keeper.post(`/v1/sites/${siteId}/dossiers`, asked),
    202,
  );
  await followed(archive, jobId);
  const response = await fetch(`${archive.url}/v1/dossiers/${dossierId}/file`, {
    headers: { Cookie: archive.cookie },
  });
  expect(response.status).toBe(200);
  const zip = Buffer.from(await response.arrayBuffer());
  const path = join(folder, `${asked.kind}.zip`);
  await writeFile(path, zip);
  const { archive: told } = await answer<{ archive: { fingerprint: string } }>(
    archive.anyone.get('/v1/state'),
    200,
  );
  const { findings, verdict } = await verifyDossier(path, { fingerprint: told.fingerprint });
  expect({ findings, verdict }).toEqual({ findings: [], verdict: 'verified-against-fingerprint' });
  return zip;
}
