/** The first walk: what is done in it, and what of it the archive and the address already show. Pure. */

export const WALK_PANEL = 'SLM.sII.2a';
export const walkSteps = ['find', 'rubbing', 'crack', 'record', 'undo'] as const;
export type WalkStep = (typeof walkSteps)[number];

export interface Walk {
  readonly state: 'new' | 'going' | 'left' | 'done';
  readonly step: WalkStep;
  /** findings that stood before one began: a new one is the walker's own */
  readonly before: readonly string[] | null;
  /** the crack that was marked, and the entry it stands in */
  readonly marked: { readonly findingId: string; readonly entrySeq: number } | null;
}

export const newWalk: Walk = { state: 'new', step: 'find', before: null, marked: null };

/** What is seen of the person's real acts. */
export interface Seen {
  readonly mark: string | null;
  readonly act: string | null;
  /** null: the archive was not asked or has not answered */
  readonly findings:
    | readonly {
        readonly findingId: string;
        readonly term: string;
        readonly state: string;
        readonly entrySeq: number;
      }[]
    | null;
}

/** One step on where its act was done; the same walk where it was not. */
export function walkOn(walk: Walk, { mark, act, findings }: Seen): Walk {
  if (walk.state !== 'going') return walk;
  const onPanel = mark === WALK_PANEL;
  switch (walk.step) {
    case 'find':
      return onPanel ? { ...walk, step: 'rubbing' } : walk;
    case 'rubbing':
      return onPanel && act === 'rub' ? { ...walk, step: 'crack' } : walk;
    case 'crack': {
      if (!findings) return walk;
      if (walk.before === null)
        return { ...walk, before: findings.map(({ findingId }) => findingId) };
      const own = findings.find(
        ({ findingId, term, state }) =>
          state === 'recorded' &&
          term.startsWith('glass.crack') &&
          !walk.before!.includes(findingId),
      );
      return own
        ? { ...walk, step: 'record', marked: { findingId: own.findingId, entrySeq: own.entrySeq } }
        : walk;
    }
    case 'record':
      return onPanel && act === 'papers' ? { ...walk, step: 'undo' } : walk;
    case 'undo': {
      if (!findings) return walk;
      // What was withdrawn may be listed as such or not at all.
      const own = findings.find(({ findingId }) => findingId === walk.marked?.findingId);
      return own?.state === 'recorded' ? walk : { ...walk, state: 'done' };
    }
  }
}

/** What cannot be read is as if nobody had walked yet. */
export function readWalk(text: string | null): Walk {
  try {
    const said = JSON.parse(text ?? 'null') as Partial<Walk> | null;
    const isSound =
      said !== null &&
      ['new', 'going', 'left', 'done'].includes(said.state ?? '') &&
      walkSteps.some((step) => step === said.step);
    return isSound ? { ...newWalk, ...said } : newWalk;
  } catch {
    return newWalk;
  }
}
