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

/** Acts older than so many are one act: undoing it leads back to the very beginning. */
const MOST_STEPS = 500;

export function beginHistory<T>(present: T): History<T> {
  return { present, past: [], future: [] };
}

/** After an act nothing can be redone; a state that is the same object is no act. */
export function did<T>(history: History<T>, name: string, state: T): History<T> {
  if (state === history.present) return history;
  return {
    present: state,
    past: newestSteps([...history.past, { name, state: history.present }], MOST_STEPS),
    future: [],
  };
}

/** With every state made another; one that several steps share is made once. */
export function mapHistory<T, U>(history: History<T>, make: (state: T) => U): History<U> {
  const made = new Map<T, U>();
  const of = (state: T): U => {
    if (!made.has(state)) made.set(state, make(state));
    return made.get(state)!;
  };
  const steps = (some: readonly Step<T>[]) =>
    some.map(({ name, state }) => ({ name, state: of(state) }));
  return { present: of(history.present), past: steps(history.past), future: steps(history.future) };
}

/** With no more than so many acts each way; the first state stays, so that all can be taken back. */
export function shortHistory<T>(history: History<T>, most: number): History<T> {
  return {
    ...history,
    past: newestSteps(history.past, most),
    future: history.future.slice(-most),
  };
}

function newestSteps<T>(past: readonly Step<T>[], most: number): readonly Step<T>[] {
  const [first] = past;
  if (first === undefined || past.length <= most) return past;
  return [{ name: 'everything before', state: first.state }, ...past.slice(1 - most)];
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
