export type EstimateFault = 'currency' | 'range' | 'empty';

export class EstimateError extends Error {
  override readonly name = 'EstimateError';
  constructor(
    readonly fault: EstimateFault,
    message: string,
  ) {
    super(message);
  }
}
