import type { Media } from './media.js';
import { get, type Page, post, put, type Written } from './request.js';
import type { WorkState } from './windows.js';

export type SizeSource = 'measured' | 'computed' | 'estimated';

export interface Size {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly diagonalsMm?: readonly [number, number];
  readonly source: SizeSource;
}

export interface Placement {
  readonly mediaId: string;
  /** 3 × 3 row-major, panel mm → picture px */
  readonly imageFromPanel: readonly number[];
  readonly points: readonly {
    readonly imageXyPx: readonly [number, number];
    readonly panelXyMm: readonly [number, number];
    readonly residualMm: number;
  }[];
  readonly rmsMm: number;
  /** place in points of the one that fits worst */
  readonly worst: number | null;
  readonly source: string;
  readonly version: number | string;
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
  readonly sheet?: {
    readonly medium: string;
    readonly face: Face;
    readonly layer: Layer;
    readonly sheets: number;
    readonly takenBy: string;
    readonly shelf: string;
  } | null;
  readonly happened?: string | null;
}

export type Face = 'inside' | 'outside';
export type Layer = 'front' | 'back';

export interface Panel {
  readonly panelId: string;
  readonly siteId: string;
  readonly windowId: string;
  readonly mark: string;
  readonly fullMark: string;
  readonly ringMm: readonly number[] | readonly (readonly [number, number])[];
  readonly sizes: {
    readonly panel?: Size;
    readonly tight?: Size;
    readonly sight?: Size;
  };
  readonly workState: WorkState;
  readonly shows: string | null;
  readonly netRevision: number | null;
  readonly signedRevision: number | null;
  readonly counts: Readonly<Record<string, number>>;
  readonly media: readonly Media[];
  readonly placements: readonly Placement[];
  readonly rubbings: readonly Rubbing[];
  readonly version: number | string;
}

export interface Piece {
  readonly pieceId: string;
  readonly mark: string;
  readonly provisional: boolean;
  readonly ringMm: readonly number[] | readonly (readonly [number, number])[];
  readonly areaMm2: number;
  readonly shows: string | null;
  readonly glass: string | null;
  readonly carriedTo?: string | null;
  readonly retired?: boolean;
  readonly version: number | string;
}

export interface CarryOverProposal {
  readonly matches: readonly {
    readonly provisionalPieceId: string;
    readonly provisionalMark?: string;
    readonly pieceId: string | null;
    readonly pieceMark?: string | null;
    readonly overlapRatio?: number;
  }[];
}

export const readPanel = (panelId: string, signal?: AbortSignal): Promise<Panel> =>
  get<Panel>(`/v1/panels/${panelId}`, {}, signal);

export const revisePanel = (
  panelId: string,
  body: { sizes?: Panel['sizes']; workState?: WorkState; shows?: string },
  version: number | string,
): Promise<Panel & Written> => put(`/v1/panels/${panelId}`, body, version);

export async function readPieces(panelId: string, signal?: AbortSignal): Promise<readonly Piece[]> {
  const page = await get<Page<Piece>>(`/v1/panels/${panelId}/pieces`, {}, signal);
  return page.items;
}

export const tracePiece = (
  panelId: string,
  body: { number?: number; shows?: string } & (
    | { ringMm: readonly (readonly [number, number])[] }
    | { mediaId: string; ringPx: readonly (readonly [number, number])[] }
  ),
): Promise<Piece & Written> => post(`/v1/panels/${panelId}/pieces`, body);

export const describePiece = (
  pieceId: string,
  body: { shows?: string; glass?: string },
  version: number | string,
): Promise<Piece & Written> => put(`/v1/pieces/${pieceId}`, body, version);

export const proposeCarryOver = (
  panelId: string,
  signal?: AbortSignal,
): Promise<CarryOverProposal> =>
  get<CarryOverProposal>(`/v1/panels/${panelId}/carry-over`, {}, signal);

export const carryOver = (
  panelId: string,
  matches: readonly { provisionalPieceId: string; pieceId: string | null; reason?: string }[],
): Promise<unknown> => post(`/v1/panels/${panelId}/carry-over`, { matches });
