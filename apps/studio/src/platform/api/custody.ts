import type { Answered, Asked } from './bodies.js';
import { client, everyPage, taken } from './request.js';

export type Sequence = Answered<'windowSequence'>;
export type SequenceStep = Sequence['removal'][number];
export type Crate = Answered<'listCrates'>['items'][number];
export type Movement = Answered<'movement'>;
export type Whereabouts = Answered<'windowWhereabouts'>;
export type Where = Whereabouts['panels'][number]['where'];
export type WorkStep = Answered<'listSteps'>['items'][number];
export type RemovalBody = Asked<'recordRemoval'>;
export type DismantlingBody = Asked<'recordDismantling'>;
export type LiftBody = Asked<'liftPieces'>;
export type ProtectionBody = Asked<'protectOpening'>;
export type RebuildBody = Asked<'rebuildCheck'>;
export type RefixBody = Asked<'recordRefix'>;
type MovementBody = Asked<'recordMovement'>;
type ReceiveBody = Asked<'receive'>;

const ofWindow = (windowId: string) => ({ params: { path: { windowId } } });
const ofSite = (siteId: string) => ({ params: { path: { siteId } } });
const ofPanel = (panelId: string) => ({ params: { path: { panelId } } });

export const readSequence = (windowId: string, signal: AbortSignal): Promise<Sequence> =>
  taken(client.GET('/v1/windows/{windowId}/sequence', { ...ofWindow(windowId), signal }));

/** @param moment by a day, as known then; nothing: now */
export const readWhereabouts = (
  windowId: string,
  signal: AbortSignal,
  moment: { at?: string; known?: string } = {},
): Promise<Whereabouts> =>
  taken(
    client.GET('/v1/windows/{windowId}/whereabouts', {
      params: { path: { windowId }, query: moment },
      signal,
    }),
  );

export const readCrates = async (siteId: string, signal: AbortSignal): Promise<readonly Crate[]> =>
  (await taken(client.GET('/v1/sites/{siteId}/crates', { ...ofSite(siteId), signal }))).items;

export const addCrate = (siteId: string, body: { mark: string; slots: number }): Promise<unknown> =>
  taken(
    client.POST('/v1/sites/{siteId}/crates', { ...ofSite(siteId), body: { ...body, limits: {} } }),
  );

export const recordMovement = (siteId: string, body: Partial<MovementBody>) =>
  taken(
    client.POST('/v1/sites/{siteId}/movements', {
      ...ofSite(siteId),
      body: { things: [], crateIds: [], temporary: false, ...body } as MovementBody,
    }),
  );

/** Movements whose receiver has not signed, each with all that travels in it. */
export async function readOpenMovements(
  siteId: string,
  signal: AbortSignal,
): Promise<readonly Movement[]> {
  const open = await everyPage((after) =>
    taken(
      client.GET('/v1/sites/{siteId}/movements', {
        params: { path: { siteId }, query: { open: 'true', ...(after ? { after } : {}) } },
        signal,
      }),
    ),
  );
  return Promise.all(
    open.map(({ movementId }) =>
      taken(client.GET('/v1/movements/{movementId}', { params: { path: { movementId } }, signal })),
    ),
  );
}

export const handOver = (movementId: string, body: Partial<ReceiveBody>): Promise<unknown> =>
  taken(
    client.POST('/v1/movements/{movementId}/hand-over', {
      params: { path: { movementId } },
      body: { seen: [], again: false, ...body },
    }),
  );

export const receive = (movementId: string, body: Partial<ReceiveBody>): Promise<unknown> =>
  taken(
    client.POST('/v1/movements/{movementId}/receive', {
      params: { path: { movementId } },
      body: { seen: [], again: false, ...body },
    }),
  );

export const recordRemoval = (panelId: string, body: Partial<RemovalBody>): Promise<unknown> =>
  taken(
    client.POST('/v1/panels/{panelId}/removal', {
      ...ofPanel(panelId),
      body: { seen: [], ...body },
    }),
  );

export const recordRefix = (panelId: string, body: Partial<RefixBody>): Promise<unknown> =>
  taken(
    client.POST('/v1/panels/{panelId}/refix', {
      ...ofPanel(panelId),
      body: { bars: [], images: [], ...body },
    }),
  );

/** Several panels out in one go, from the top down; what each alone must be said of is said panel by panel. */
export const removeMany = (windowId: string, body: Asked<'removeMany'>): Promise<unknown> =>
  taken(client.POST('/v1/windows/{windowId}/removals', { ...ofWindow(windowId), body }));

export const refixMany = (windowId: string, body: Asked<'refixMany'>): Promise<unknown> =>
  taken(client.POST('/v1/windows/{windowId}/refixes', { ...ofWindow(windowId), body }));

export const cementMany = (windowId: string, body: Asked<'cementMany'>): Promise<unknown> =>
  taken(client.POST('/v1/windows/{windowId}/cementings', { ...ofWindow(windowId), body }));

export const recordDismantling = (panelId: string, body: DismantlingBody): Promise<unknown> =>
  taken(client.POST('/v1/panels/{panelId}/dismantling', { ...ofPanel(panelId), body }));

export const liftPieces = (panelId: string, body: LiftBody): Promise<unknown> =>
  taken(client.POST('/v1/panels/{panelId}/lifts', { ...ofPanel(panelId), body }));

/** Newest first. */
export const readProtection = async (
  windowId: string,
  signal: AbortSignal,
): Promise<readonly WorkStep[]> =>
  (await taken(client.GET('/v1/windows/{windowId}/protection', { ...ofWindow(windowId), signal })))
    .items;

export const protectOpenings = (windowId: string, body: ProtectionBody): Promise<unknown> =>
  taken(client.POST('/v1/windows/{windowId}/protection', { ...ofWindow(windowId), body }));

export const readSteps = async (
  panelId: string,
  signal: AbortSignal,
): Promise<readonly WorkStep[]> =>
  (await taken(client.GET('/v1/panels/{panelId}/steps', { ...ofPanel(panelId), signal }))).items;

export const checkRebuild = (panelId: string, body: RebuildBody): Promise<unknown> =>
  taken(client.POST('/v1/panels/{panelId}/rebuild-check', { ...ofPanel(panelId), body }));

export const signRebuild = (panelId: string): Promise<unknown> =>
  taken(client.POST('/v1/panels/{panelId}/rebuild-sign', { ...ofPanel(panelId), body: {} }));

/** Lists to be ticked by hand, in the order of the work; of a window the first and the last, of a panel the others. */
export const checklists = ['removal', 'dismantling', 'rebuild', 'refixing'] as const;
export type ChecklistName = (typeof checklists)[number];

/** A list to tick by hand, PDF on A4. @param of the window that it is of, or the panel */
export const checklistFile = (
  of: { readonly windowId: string } | { readonly panelId: string },
  list: ChecklistName,
): string =>
  'windowId' in of
    ? `/v1/windows/${of.windowId}/checklists/${list}`
    : `/v1/panels/${of.panelId}/checklists/${list}`;
