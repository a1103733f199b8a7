/** How far a panel is taken apart: what the archive keeps, what this hand said since, and which piece is next. */
import { compareNames } from '#libs/net';
import type { LiftBody, WorkStep } from '../platform/api/custody.js';

export type Lift = LiftBody['pieces'][number];
export type Lifts = Readonly<Record<string, Lift>>;

/** Whether what was kept in a browser or a file is such a list. */
export const isLifts = (value: unknown): value is Lifts =>
  typeof value === 'object' &&
  value !== null &&
  Object.entries(value).every(
    ([mark, lift]: [string, Partial<Lift> | null]) => lift?.mark === mark,
  );

/** Of each piece the last word, by the order in which the steps were recorded; `back` is no word. */
export function keptLifts(steps: readonly Pick<WorkStep, 'kind' | 'detail' | 'entrySeq'>[]): Lifts {
  const kept: Record<string, Lift> = {};
  const inOrder = steps
    .filter(({ kind }) => kind === 'lift')
    .toSorted((a, b) => a.entrySeq - b.entrySeq);
  for (const { detail } of inOrder)
    for (const lift of detail['pieces'] as readonly Lift[]) kept[lift.mark] = lift;
  return withoutBack(kept);
}

/** What holds with what was said since. */
export const heldLifts = (kept: Lifts, draft: Lifts): Lifts => withoutBack({ ...kept, ...draft });

function withoutBack(lifts: Lifts): Lifts {
  return Object.fromEntries(Object.entries(lifts).filter(([, { is }]) => is !== 'back'));
}

/** The draft after a piece was told to be something; told the same again it is not lifted after all. */
export function told(kept: Lifts, draft: Lifts, lift: Lift): Lifts {
  const before = heldLifts(kept, draft)[lift.mark];
  const rest = Object.fromEntries(Object.entries(draft).filter(([mark]) => mark !== lift.mark));
  if (before?.is !== lift.is) return { ...rest, [lift.mark]: lift };
  return kept[lift.mark] === undefined
    ? rest
    : { ...rest, [lift.mark]: { mark: lift.mark, is: 'back' } };
}

/** The first piece by its number of which nothing is said; undefined when all are off the lead. */
export function nextPiece(pieces: readonly string[], lifts: Lifts): string | undefined {
  return pieces.toSorted(compareNames).find((piece) => lifts[piece] === undefined);
}
