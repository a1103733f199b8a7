/** Steps between a panel's opening and its return: one row each, and the panel's state of work. */

import type { WindowDrawing } from '#libs/elevation';
import { notYetBelow, type PanelBearing, removalOrder, stillOnTop } from '#libs/elevation';
import type { CommandContext, Decision, ProjectedEntry } from '../command.js';
import { putFlags, type RaisedFlag } from '../flags.js';
import type { PanelPlace } from '../place.js';
import { RecentCache } from '../recent-cache.js';
import type { PanelRow } from '../rows.js';
import { changeRows, findRow, findRows, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import type { WORK_STEPS } from '../views/custody-view.js';
import { workStepView } from '../views/custody-view.js';
import type { WORK_STATES } from '../views/window-view.js';
import { without } from '../without.js';
import { type CustodySeed, raiseInCampaign } from './custody-flags.js';

type WorkState = (typeof WORK_STATES)[number];

/** What every step's entry says. */
export interface StepPayload {
  readonly stepId: string;
  readonly windowId: string;
  readonly panelId: string | null;
  readonly marks: readonly string[];
  readonly images: readonly string[];
  readonly detail: object;
  /** state of work of the panel from here on; null: as it was */
  readonly workState: WorkState | null;
  readonly flags: readonly RaisedFlag[];
}

/** What one step on a panel says beside the panel itself. */
interface PanelStep extends Pick<StepPayload, 'images' | 'detail' | 'workState'> {
  readonly happened: string | null;
  readonly seeds: readonly CustodySeed[];
}

/** Decides the entry about a panel, with the flags that the step raises. */
export async function panelStep(
  ctx: CommandContext,
  { siteId, windowId, panelId, fullMark }: PanelPlace,
  { happened, images, detail, workState, seeds }: PanelStep,
): Promise<Decision<StepPayload>> {
  return {
    log: { siteId },
    subject: fullMark,
    happened,
    payload: {
      stepId: ctx.newId(),
      windowId,
      panelId,
      marks: [fullMark],
      images,
      detail,
      workState,
      flags: await raiseInCampaign(ctx, { siteId, happened }, seeds),
    },
  };
}

export async function projectStep(
  entry: ProjectedEntry<StepPayload>,
  tx: Tx,
  kind: (typeof WORK_STEPS)[number],
): Promise<void> {
  const { workState, panelId, marks, images, flags, ...said } = entry.payload;
  await putRow(tx, 'work_step', {
    siteId: entry.siteId!,
    ...said,
    panelId,
    marks: [...marks],
    images: [...images],
    kind,
    byPerson: entry.actorId,
    happened: entry.happened,
    entrySeq: entry.seq,
    recordedAt: entry.recordedAt,
    version: entry.seq,
  });
  if (panelId !== null && workState !== null)
    await changeRows(tx, 'panel', { panelId }, { workState, version: entry.seq });
  await putFlags(tx, entry, flags);
}

export async function answerStep({ payload }: ProjectedEntry<StepPayload>, tx: Tx) {
  const row = (await findRow(tx, 'work_step', { stepId: payload.stepId }))!;
  return without(workStepView(row), 'entrySeq');
}

/** The newest step of a kind on a panel, as it was said last. */
export async function lastStep(tx: Tx, panelId: string, kind: (typeof WORK_STEPS)[number]) {
  return (await findRows(tx, 'work_step', { panelId, kind }, 'ORDER BY entry_seq')).at(-1);
}

/** Which panel stands on which, by the drawing that says so: taken apart once, not at every step. */
const bearingsOf = new RecentCache<readonly PanelBearing[]>(20);

function bearings(drawing: WindowDrawing): readonly PanelBearing[] {
  const text = JSON.stringify(drawing);
  const known = bearingsOf.get(text) ?? removalOrder(drawing);
  bearingsOf.set(text, known);
  return known;
}

/** The window of a panel, as it is drawn, with the state of each panel. */
interface Standing {
  readonly order: readonly PanelBearing[];
  /** by mark in the window */
  readonly states: ReadonlyMap<string, string>;
}

async function standing(tx: Tx, { windowId }: PanelPlace): Promise<Standing> {
  const window = (await findRow(tx, 'window', { windowId }))!;
  const panels = await tx.query<Pick<PanelRow, 'mark' | 'workState'>>(
    'SELECT mark, work_state FROM panel WHERE window_id = $1 AND NOT retired',
    [windowId],
    ['panel'],
  );
  return {
    order: bearings(window.drawing as WindowDrawing),
    states: new Map(panels.map(({ mark, workState }) => [mark, workState])),
  };
}

/** Full marks of panels that stand on this one while it is taken out. */
export async function standingOn(tx: Tx, place: PanelPlace): Promise<string[]> {
  const { order, states } = await standing(tx, place);
  return stillOnTop(order, place.panelMark, (mark) => states.get(mark) === 'in-place').map((mark) =>
    place.fullMark.replace(/[^.]+$/, mark),
  );
}

/** Full marks of panels that should be back before this one is put in. */
export async function missingBelow(tx: Tx, place: PanelPlace): Promise<string[]> {
  const { order, states } = await standing(tx, place);
  return notYetBelow(
    order,
    place.panelMark,
    (mark) => !states.has(mark) || states.get(mark) === 'in-place',
  ).map((mark) => place.fullMark.replace(/[^.]+$/, mark));
}
