import type { XyMm } from './net.js';

/** Why a sketch is not a lead net, or a stored net cannot be read. */
export type NetFault =
  | 'bad-sketch'
  | 'bad-option'
  | 'bad-number'
  | 'bad-edit'
  | 'bad-file'
  | 'unknown-format'
  | 'leads-cross'
  | 'leads-overlap'
  | 'dangling-lead'
  | 'bridge-lead'
  | 'ring-pinched'
  | 'separate-parts'
  | 'no-piece'
  | 'not-planar'
  | 'areas-differ';

/** A refusal with its place in panel millimetres where there is one, so that a screen can go there. */
export class NetError extends Error {
  override readonly name = 'NetError';
  constructor(
    readonly fault: NetFault,
    message: string,
    readonly xyMm: XyMm | null = null,
  ) {
    super(message);
  }
}
