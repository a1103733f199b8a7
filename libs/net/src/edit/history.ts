/** Undo and redo: every state under the name of the act that led to it. */
export interface History<T> {
  readonly present: T;
  /** What undo takes back and redo brings again: 'bend lead L12'. */
  readonly past: readonly Step<T>[];
  readonly future: readonly Step<T>[];
}

interface Step<T> {
  readonly name: string;
  /** The state on the other side of the act. */
  readonly state: T;
}

/** Older acts than this are kept no longer. */
const MOST_STEPS = 500;

export function beginHistory<T>(present: T): History<T> {
  return { present, past: [], future: [] };
}

/** After an act nothing can be redone; a state that is the same object is no act. */
export function did<T>(history: History<T>, name: string, state: T): History<T> {
  if (state === history.present) return history;
  return {
    present: state,
    past: [...history.past, { name, state: history.present }].slice(-MOST_STEPS),
    future: [],
  };
}

export function undo<T>(history: History<T>): History<T> {
  const last = history.past.at(-1);
  if (last === undefined) return history;
  return {
    present: last.state,
    past: history.past.slice(0, -1),
    future: [...history.future, { name: last.name, state: history.present }],
  };
}

export function redo<T>(history: History<T>): History<T> {
  const next = history.future.at(-1);
  if (next === undefined) return history;
  return {
    present: next.state,
    past: [...history.past, { name: next.name, state: history.present }],
    future: history.future.slice(0, -1),
  };
}
