export { DOSSIER_VERSION, type DossierKind, logFolder } from './bag-layout.js';
export { type CheckProgress, TrustError } from './check-dossier.js';
export { DossierError, type DossierFault } from './dossier-error.js';
export { nodeSha256 } from './node-digests.js';
export type { ListedObject, ObjectState } from './object-list.js';
export type { DossierReference } from './references.js';
export {
  type CheckedLog,
  type DossierFinding,
  type DossierReport,
  type DossierTrust,
  type DossierVerdict,
  verdictSentence,
} from './report.js';
export { archiveOf } from './seal.js';
export { verifyDossier } from './verify-dossier.js';
export {
  type DossierEntry,
  type DossierFile,
  type DossierInput,
  type DossierLog,
  type DossierObject,
  type DossierSummary,
  dossierBytes,
  writeDossier,
} from './write-dossier.js';
