import type { Media } from './media.js';
import { client, ifMatch, taken } from './request.js';
import type { WorkState } from './windows.js';

export type SizeSource = 'measured' | 'computed' | 'estimated';

export interface Size {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly diagonalsMm?: [number, number];
  readonly source: SizeSource;
}

export interface Placement {
  readonly mediaId: string;
  /** 3 × 3 row-major, panel mm → picture px */
  readonly imageFromPanel: readonly number[];
  readonly points: readonly {
    /** of a mark on a rubbing's sheet */
    readonly name?: string;
    readonly imageXyPx: readonly [number, number];
    readonly panelXyMm: readonly [number, number];
    readonly residualMm: number;
  }[];
  readonly rmsMm: number;
  /** place in points of the one that fits worst */
  readonly worst: number | null;
  readonly source: string;
  readonly version: number;
}

export interface Rubbing {
  readonly rubbingId: string;
  readonly conditions:
    | {
        readonly paintTested: boolean;
        readonly looseAreas: 'none' | 'covered' | 'left-out';
        readonly panelSupported: boolean;
      }
    | { readonly notRubbedBecause: string };
  readonly sheet: {
    readonly medium: string;
    readonly face: Face;
    readonly layer?: Layer;
    readonly takenBy: string;
    readonly shelf: string;
    readonly overall?: {
      readonly widthMm: number;
      readonly heightMm: number;
      readonly diagonal1Mm: number;
      readonly diagonal2Mm: number;
    };
  } | null;
  readonly happened: string | null;
}

export type Face = 'inside' | 'outside';
export type Layer = 'front' | 'back';

export interface Panel {
  readonly panelId: string;
  readonly siteId: string;
  readonly windowId: string;
  readonly mark: string;
  readonly fullMark: string;
  /** outline in the window's frame, flat, mm */
  readonly ringMm: readonly number[];
  readonly sizes: { panel?: Size; tight?: Size; sight?: Size };
  readonly workState: WorkState;
  readonly shows: string | null;
  readonly netRevision: number | null;
  readonly signedRevision: number | null;
  readonly counts: {
    readonly media: number;
    /** of the media, what is no document */
    readonly pictures: number;
  };
  /** newest first; not all of a panel that has very many */
  readonly media: readonly Media[];
  /** where the others begin; null: these are all */
  readonly mediaNext: string | null;
  readonly placements: readonly Placement[];
  readonly rubbings: readonly Rubbing[];
  readonly version: number;
}

export interface Piece {
  readonly pieceId: string;
  readonly mark: string;
  readonly provisional: boolean;
  readonly ringMm: readonly number[];
  readonly areaMm2: number;
  readonly shows: string | null;
  readonly glass: string | null;
  readonly carriedTo: string | null;
  readonly retired: boolean;
  readonly version: number;
}

export interface CarryOverProposal {
  readonly matches: readonly {
    readonly provisionalPieceId: string;
    readonly provisionalMark: string;
    readonly pieceId: string | null;
    readonly pieceMark: string | null;
    readonly overlapRatio: number;
  }[];
}

/** Points are pairs in the API's schema and lists in its types: said here once. */
export const readPanel = async (panelId: string, signal: AbortSignal): Promise<Panel> =>
  (await taken(
    client.GET('/v1/panels/{panelId}', { params: { path: { panelId } }, signal }),
  )) as unknown as Panel;

export const readPanelMedia = (
  panelId: string,
  query: { after: string; limit: number },
  signal: AbortSignal,
): Promise<{ items: readonly Media[]; next: string | null }> =>
  taken(client.GET('/v1/panels/{panelId}/media', { params: { path: { panelId }, query }, signal }));

export const revisePanel = (
  panelId: string,
  body: { sizes?: Panel['sizes']; workState?: WorkState; shows?: string },
  version: number,
): Promise<unknown> =>
  taken(
    client.PUT('/v1/panels/{panelId}', {
      params: { path: { panelId }, header: ifMatch(version) },
      body,
    }),
  );

export const readPieces = async (panelId: string, signal: AbortSignal): Promise<readonly Piece[]> =>
  (
    await taken(
      client.GET('/v1/panels/{panelId}/pieces', { params: { path: { panelId } }, signal }),
    )
  ).items;

export const tracePiece = (
  panelId: string,
  body: { number?: number; shows?: string; ringMm: [number, number][] },
): Promise<unknown> =>
  taken(client.POST('/v1/panels/{panelId}/pieces', { params: { path: { panelId } }, body }));

export const describePiece = (
  pieceId: string,
  body: { shows?: string; glass?: string },
  version: number,
): Promise<unknown> =>
  taken(
    client.PUT('/v1/pieces/{pieceId}', {
      params: { path: { pieceId }, header: ifMatch(version) },
      body,
    }),
  );

export const proposeCarryOver = (
  panelId: string,
  signal: AbortSignal,
): Promise<CarryOverProposal> =>
  taken(client.GET('/v1/panels/{panelId}/carry-over', { params: { path: { panelId } }, signal }));

export const carryOver = (
  panelId: string,
  matches: { provisionalPieceId: string; pieceId: string | null; reason?: string }[],
): Promise<unknown> =>
  taken(
    client.POST('/v1/panels/{panelId}/carry-over', {
      params: { path: { panelId } },
      body: { matches },
    }),
  );
