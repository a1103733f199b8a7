/** Why a file was not taken or not decoded. `file-*` faults lie in the file, `decoder-*` in the decoding. */
export type ImagingFault =
  | 'file-empty'
  | 'file-too-large'
  | 'format-refused'
  | 'file-damaged'
  | 'pixels-too-many'
  | 'frames-too-many'
  | 'no-preview'
  | 'region-outside'
  | 'decoder-crashed'
  | 'decoder-too-slow'
  | 'decoder-too-big';

/** The message is a sentence that a person can act on. */
export class ImagingError extends Error {
  override readonly name = 'ImagingError';

  readonly fault: ImagingFault;

  // no parameter property: the decoding process also runs from source, by Node's type stripping
  constructor(fault: ImagingFault, message: string, options?: ErrorOptions) {
    super(message, options);
    this.fault = fault;
  }
}

export function damaged(what: string, cause?: unknown): ImagingError {
  return new ImagingError(
    'file-damaged',
    `The file is damaged or broke off on its way: ${what}. Open it where it came from, and send it again.`,
    { cause },
  );
}
