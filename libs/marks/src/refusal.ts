/** Why a text is no mark: which part of it, and what was expected there. */

export interface MarkRefusal {
  part: 'mark' | 'site' | 'unit' | 'window' | 'panel' | 'piece' | 'fitting';
  /** the offending part as it came, after normalisation */
  found: string;
  /** a sentence for the person who typed it */
  reason: string;
}

export type Reading<T> = { ok: true; value: T } | { ok: false; refusal: MarkRefusal };

export class MarkError extends Error {
  override readonly name = 'MarkError';
  readonly fault = 'mark-refused';

  constructor(readonly refusal: MarkRefusal) {
    super(refusal.reason);
  }
}

export function accepted<T>(value: T): Reading<T> {
  return { ok: true, value };
}

export function refused<T>(part: MarkRefusal['part'], found: string, reason: string): Reading<T> {
  return { ok: false, refusal: { part, found, reason } };
}
