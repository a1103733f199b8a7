import { everyPage, get, type Page, post, put, type Written } from './request.js';

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
  readonly measure: Readonly<Record<string, unknown>> | null;
  readonly face: 'inside' | 'outside';
  readonly layer: string;
  readonly evidence: readonly string[];
  readonly authorId?: string;
  readonly happened: string | null;
  readonly note: string | null;
  readonly state: 'recorded' | 'superseded' | 'withdrawn';
  readonly entrySeq?: number;
  readonly entry?: { readonly logId: string; readonly seq: number };
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

export interface Hatch {
  readonly pattern?: string;
  readonly colour?: string;
  readonly [member: string]: unknown;
}

export interface Term {
  readonly term: string;
  readonly words?: string;
  readonly label?: string;
  readonly definition?: string;
  readonly geometry: GeometryKind | readonly GeometryKind[];
  readonly measure?: string | readonly string[] | null;
  readonly hatch?: Hatch;
  readonly [member: string]: unknown;
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

export async function readTerms(signal?: AbortSignal): Promise<readonly Term[]> {
  const answer = await get<Page<Term> | readonly Term[]>('/v1/terms', {}, signal);
  return 'items' in answer ? answer.items : answer;
}

export interface Operation {
  readonly operation: string;
  readonly words?: string;
  readonly label?: string;
  readonly definition?: string;
  readonly [member: string]: unknown;
}

export async function readOperations(signal?: AbortSignal): Promise<readonly Operation[]> {
  const answer = await get<Page<Operation> | readonly Operation[]>('/v1/operations', {}, signal);
  return 'items' in answer ? answer.items : answer;
}
