import { type CheckProgress, checkDossier, TrustError, unreadable } from './check-dossier.js';
import { nodeHashing } from './node-digests.js';
import { type OpenSource, openSource } from './node-source.js';
import type { DossierReport, DossierTrust } from './report.js';

/**
 * Checks a dossier, zipped or unpacked, without a server.
 *
 * @throws TrustError when the fingerprint or witness key given is mistyped; anything wrong with the
 * dossier itself is in the report
 */
export async function verifyDossier(
  path: string,
  trust: DossierTrust = {},
  onProgress?: (progress: CheckProgress) => void,
): Promise<DossierReport> {
  let opened: OpenSource;
  try {
    opened = await openSource(path);
  } catch (cause) {
    return unreadable(cause instanceof Error ? cause.message : String(cause));
  }
  try {
    return await checkDossier(opened.source, trust, nodeHashing, onProgress);
  } catch (cause) {
    if (cause instanceof TrustError) throw cause;
    return unreadable(cause instanceof Error ? cause.message : String(cause));
  } finally {
    await opened.close();
  }
}
