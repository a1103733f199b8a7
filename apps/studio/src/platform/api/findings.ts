import type { FindingTerm, Operation } from '#libs/vocabulary';
import { everyPage, get, post, put, type Written } from './request.js';

export type GeometryKind = 'point' | 'line' | 'area';

export interface Finding {
  readonly findingId: string;
  readonly panelId: string;
  readonly inPanel: string | null;
  readonly term: string;
  readonly geometry: {
    readonly kind: GeometryKind;
    readonly xyMm: readonly (readonly [number, number])[];
  };
  readonly measure: {
    readonly countN: number | null;
    readonly lengthMm: number | null;
    readonly areaMm2: number | null;
    /** of the piece, 0-1 */
    readonly shareRatio: number | null;
  };
  /** the measure in words, as records print it */
  readonly measureText: string;
  readonly face: 'inside' | 'outside';
  readonly layer: string;
  readonly evidence: readonly string[];
  readonly authorId?: string;
  readonly happened: string | null;
  readonly note: string | null;
  readonly state: 'recorded' | 'superseded' | 'withdrawn';
  readonly entrySeq: number;
  readonly version: number | string;
}

export interface FindingBody {
  readonly term: string;
  readonly inPanel?: string;
  readonly geometry:
    | { readonly kind: GeometryKind; readonly xyMm: readonly (readonly [number, number])[] }
    | {
        readonly kind: GeometryKind;
        readonly mediaId: string;
        readonly xyPx: readonly (readonly [number, number])[];
      };
  readonly face: 'inside' | 'outside';
  readonly layer?: string;
  readonly netRevision?: number;
  readonly evidence?: readonly string[];
  readonly happened?: string;
  readonly note?: string;
}

export const readFindings = (panelId: string, signal?: AbortSignal): Promise<readonly Finding[]> =>
  everyPage<Finding>(`/v1/panels/${panelId}/findings`, {}, signal);

export const recordFinding = (panelId: string, body: FindingBody): Promise<Finding & Written> =>
  post(`/v1/panels/${panelId}/findings`, body);

export const reviseFinding = (
  findingId: string,
  body: FindingBody,
  version: number | string,
): Promise<Finding & Written> => put(`/v1/findings/${findingId}`, body, version);

export const withdrawFinding = (findingId: string, why: string): Promise<Written> =>
  post(`/v1/findings/${findingId}/withdraw`, { reason: why });

/** The studio's vocabulary: finding terms with definition, geometry, measure and sign. */
export async function readTerms(signal?: AbortSignal): Promise<readonly FindingTerm[]> {
  return listOf(await get<List<FindingTerm>>('/v1/terms', {}, signal));
}

export async function readOperations(signal?: AbortSignal): Promise<readonly Operation[]> {
  return listOf(await get<List<Operation>>('/v1/operations', {}, signal));
}

type List<T> = { readonly items: readonly T[] } | readonly T[];
const listOf = <T>(answer: List<T>): readonly T[] => ('items' in answer ? answer.items : answer);
