import type { Answered, Asked } from './bodies.js';
import { client, ifMatch, taken } from './request.js';

export type Choice = Answered<'listChoices'>['items'][number];
export type Sheets = Omit<Answered<'listSheets'>, 'next'>;
export type CutCost = Answered<'cutCost'>;
export type CostLine = CutCost['bySheet'][number];
type Told = Answered<'cutList'>;

type Xy = readonly [number, number];

/** Points are pairs in the API's schema and lists in its types: said here once. */
export interface LaidSheet {
  readonly sheet: string;
  readonly isOffcut: boolean;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly pieces: readonly { readonly piece: string; readonly ringMm: readonly Xy[] }[];
  readonly offcut: Told['glasses'][number]['sheets'][number]['offcut'];
}
export type CutGlass = Omit<
  Told['glasses'][number],
  'sheets' | 'sheetMm' | 'pieces' | 'tooLarge'
> & {
  readonly sheets: readonly LaidSheet[];
  readonly sheetMm: Xy;
  readonly pieces: readonly { readonly piece: string; readonly cutSizeMm: Xy }[];
  readonly tooLarge: readonly { readonly piece: string; readonly needsMm: Xy }[];
};
export type CutList = Omit<Told, 'glasses'> & { readonly glasses: readonly CutGlass[] };

export interface CutAsked {
  readonly gapMm: number;
  readonly edgeMm: number;
}

const at = (panelId: string) => ({ path: { panelId } });

export const readSheets = (signal: AbortSignal): Promise<Sheets> =>
  taken(client.GET('/v1/glass-sheets', { signal }));

export const readChoices = async (
  panelId: string,
  signal: AbortSignal,
): Promise<readonly Choice[]> =>
  (await taken(client.GET('/v1/panels/{panelId}/glass', { params: at(panelId), signal }))).items;

export const readCutList = async (
  panelId: string,
  query: CutAsked,
  signal: AbortSignal,
): Promise<CutList> =>
  (await taken(
    client.GET('/v1/panels/{panelId}/cut-list', { params: { ...at(panelId), query }, signal }),
  )) as unknown as CutList;

export const readCutCost = (
  panelId: string,
  query: CutAsked & { currency?: string },
  signal: AbortSignal,
): Promise<CutCost> =>
  taken(client.GET('/v1/panels/{panelId}/cut-cost', { params: { ...at(panelId), query }, signal }));

/** Words of the vocabulary come out of a list as texts; the archive refuses one that is none. */
export type ChooseBody = Omit<Asked<'chooseGlass'>, 'held'> & {
  readonly held?: { readonly by: string; readonly foilWidthMm?: number };
};
export type SheetBody = Omit<Asked<'describeSheet'>, 'glass'> & { readonly glass: string };

export const chooseGlass = (panelId: string, body: ChooseBody) =>
  taken(
    client.POST('/v1/panels/{panelId}/glass', {
      params: at(panelId),
      body: body as Asked<'chooseGlass'>,
    }),
  );

export const cutGlass = (panelId: string, body: Asked<'cutGlass'>) =>
  taken(client.POST('/v1/panels/{panelId}/glass/cut', { params: at(panelId), body }));

export const describeSheet = (materialId: string, body: SheetBody) =>
  taken(
    client.PUT('/v1/materials/{materialId}/sheet', {
      params: { path: { materialId } },
      body: body as Asked<'describeSheet'>,
    }),
  );

/** @param version of the price before; undefined for the first */
export const priceMaterial = (materialId: string, body: Asked<'priceMaterial'>, version?: number) =>
  taken(
    client.PUT('/v1/materials/{materialId}/price', {
      params: {
        path: { materialId },
        ...(version === undefined ? {} : { header: ifMatch(version) }),
      },
      body,
    }),
  );

export const cutListFile = (
  panelId: string,
  file: 'cut-list.csv' | 'cut-list.pdf',
  { gapMm, edgeMm }: CutAsked,
): string => `/v1/panels/${panelId}/cut-list/${file}?gapMm=${gapMm}&edgeMm=${edgeMm}`;
