/** What the command's exit status says. Part of the interface: a number keeps its meaning. */
export const EXIT = {
  ok: 0,
  /** The input cannot support an answer; the sentence says what to do. */
  refused: 1,
  usage: 2,
  /** verify: nothing contradicts itself, but the key is not known to the reader. */
  consistentKeyUnknown: 3,
  /** verify: something was changed, is missing or was added. */
  altered: 4,
  /** verify: no dossier, cut off, or made by a later program. */
  unreadable: 5,
  /** net diff: the two drawings differ by more than the tolerance. */
  drawingsDiffer: 6,
  /** case: this kind of case is not handled yet. */
  taskUnknown: 7,
  /** doctor, scrub: nothing is lost, but somebody should see to it. */
  needsALook: 8,
  /** doctor, scrub: something is damaged, missing, or about to be. */
  needsMending: 9,
  /** A fault of the program; the message asks to report it. */
  fault: 70,
} as const;

export type ExitCode = (typeof EXIT)[keyof typeof EXIT];
