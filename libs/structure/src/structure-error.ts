export type StructureFault = 'bad-size' | 'bad-load' | 'bad-span' | 'bad-readings';

/** What was given cannot be reckoned with: the message says what is wanted of `field`. */
export class StructureError extends Error {
  override readonly name = 'StructureError';

  constructor(
    readonly fault: StructureFault,
    message: string,
    /** the figure, as the caller names it */
    readonly field: string,
  ) {
    super(message);
  }
}

/** @throws StructureError unless the figure is a positive number */
export function needPositive(value: number, field: string, fault: StructureFault): void {
  if (Number.isFinite(value) && value > 0) return;
  throw new StructureError(fault, 'give a number above 0', field);
}
