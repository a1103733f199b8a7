/**
 * The seal: the archive's signature over the whole package.
 *
 * The log's checkpoints bind the entries and the objects they name, but not the records, drawings
 * and pages made for a reader: whoever changed those could write new manifests. So the archive key
 * signs the digests of both tag manifests, which bind everything else.
 */

import { ALGORITHMS, type Algorithm, type DossierKind } from './bag-layout.js';

export interface Seal {
  kind: DossierKind;
  /** mark of the place the dossier is about */
  subject: string;
  /** of tagmanifest-<algorithm>.txt */
  tagManifests: Record<Algorithm, string>;
}

const FIRST_LINE = 'mullion dossier seal v1';

/** Name of the key in the seal's signature. @param archive origin line without its log, e.g. `mullion/ID` */
export function sealKeyName(archive: string): string {
  return `${archive}/dossier`;
}

/** `mullion/ID` of an origin line `mullion/ID/site/slm`; the origin itself when it has no such form. */
export function archiveOf(origin: string): string {
  return /^(mullion\/[^/]+)\//.exec(origin)?.[1] ?? origin;
}

export function sealText({ kind, subject, tagManifests }: Seal): string {
  return [
    FIRST_LINE,
    kind,
    subject,
    ...ALGORITHMS.map((algorithm) => `tagmanifest-${algorithm}.txt ${tagManifests[algorithm]}`),
    '',
  ].join('\n');
}

/** @returns undefined unless the text is exactly what `sealText` writes */
export function parseSeal(text: string): Seal | undefined {
  const [, kind, subject, sha256, sha512] = text.split('\n');
  if ((kind !== 'handed-out' && kind !== 'keepers') || subject === undefined) return undefined;
  const seal: Seal = {
    kind,
    subject,
    tagManifests: {
      sha256: sha256?.split(' ')[1] ?? '',
      sha512: sha512?.split(' ')[1] ?? '',
    },
  };
  return sealText(seal) === text ? seal : undefined;
}
