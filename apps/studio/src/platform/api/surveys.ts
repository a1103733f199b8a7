import type { Asked } from './bodies.js';
import { client, ifMatch, Refused, taken } from './request.js';

export type SurveyBody = Asked<'recordSurvey'>;
export type DeflectionBody = Asked<'recordDeflection'>;
export type MaterialsBody = Asked<'describeMaterials'>;

const at = <P extends object>(path: P, signal?: AbortSignal) => ({
  params: { path },
  ...(signal ? { signal } : {}),
});

export const readProposals = async (windowId: string, signal?: AbortSignal) =>
  (await taken(client.GET('/v1/windows/{windowId}/proposed-reasons', at({ windowId }, signal))))
    .items;

/** @param key id of this visit: sent twice, or from another device that took its list up, it is recorded once */
export const recordSurvey = (windowId: string, body: SurveyBody, key: string): Promise<unknown> =>
  taken(
    client.POST('/v1/windows/{windowId}/surveys', {
      ...at({ windowId }),
      headers: { 'Idempotency-Key': key },
      body: { ...body, surveyId: key },
    }),
  );

/** Whether the archive refused a visit because it has it: recorded from another device, or before it was changed here. */
export const isRecordedAlready = (error: unknown): boolean =>
  error instanceof Refused &&
  (error.code === 'survey-known' || error.code === 'idempotency-key-reused');

export const readRanking = (siteId: string, signal?: AbortSignal) =>
  taken(client.GET('/v1/sites/{siteId}/ranking', at({ siteId }, signal)));

export const readDeflections = async (panelId: string, signal?: AbortSignal) =>
  (await taken(client.GET('/v1/panels/{panelId}/deflections', at({ panelId }, signal)))).items;

export const recordDeflection = (panelId: string, body: DeflectionBody): Promise<unknown> =>
  taken(client.POST('/v1/panels/{panelId}/deflections', { ...at({ panelId }), body }));

export const readChange = (deflectionId: string, signal?: AbortSignal) =>
  taken(client.GET('/v1/deflections/{deflectionId}/change', at({ deflectionId }, signal)));

export const chartPath = (deflectionId: string) => `/v1/deflections/${deflectionId}/chart.svg`;

export const readWeight = (panelId: string, signal?: AbortSignal) =>
  taken(client.GET('/v1/panels/{panelId}/weight', at({ panelId }, signal)));

export const readMaterials = async (panelId: string, signal?: AbortSignal) =>
  (await taken(client.GET('/v1/panels/{panelId}/materials', at({ panelId }, signal)))).materials;

export const describeMaterials = (
  panelId: string,
  body: MaterialsBody,
  version: number | null,
): Promise<unknown> =>
  taken(
    client.PUT('/v1/panels/{panelId}/materials', {
      ...at({ panelId }),
      ...(version === null ? {} : { headers: ifMatch(version) }),
      body,
    }),
  );

type Told<F extends (...given: never[]) => Promise<unknown>> = Awaited<ReturnType<F>>;

export type PanelProposal = Told<typeof readProposals>[number];
export type Deflection = Told<typeof readDeflections>[number];
export type DeflectionChange = Told<typeof readChange>;
export type PanelWeight = Told<typeof readWeight>;
export type Materials = Told<typeof readMaterials>;
