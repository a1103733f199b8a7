/** Why a dossier cannot be written. Reading never throws for what a dossier holds: it reports. */

export type DossierFault =
  | 'path'
  | 'twice'
  | 'object-unlisted'
  | 'object-kind'
  | 'log'
  | 'changed-while-writing'
  | 'private-detail';

export class DossierError extends Error {
  override readonly name = 'DossierError';

  constructor(
    readonly fault: DossierFault,
    message: string,
    options?: ErrorOptions,
  ) {
    super(message, options);
  }
}
