import type { FindingTerm } from '#libs/vocabulary';
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

export const withdrawFinding = (
  findingId: string,
  why: string,
  version: number | string,
): Promise<Written> => post(`/v1/findings/${findingId}/withdraw`, { reason: why }, version);

/** A term as the archive answers it; the names differ from the vocabulary's own. */
type TermAnswer = Omit<FindingTerm, 'key' | 'geometries' | 'quantities'> & {
  readonly term: string;
  readonly geometry: FindingTerm['geometries'];
  readonly measure: FindingTerm['quantities'];
};

/** The studio's vocabulary: finding terms with definition, geometry, measure and sign. */
export async function readTerms(signal?: AbortSignal): Promise<readonly FindingTerm[]> {
  const { items } = await get<Page<TermAnswer>>('/v1/terms', {}, signal);
  return items.map(({ term, geometry, measure, ...rest }) => ({
    ...rest,
    key: term,
    geometries: geometry,
    quantities: measure,
  }));
}

export interface Operation {
  readonly operation: string;
  readonly label: string;
  readonly group: string;
  readonly groupLabel: string;
  readonly definition: string;
  readonly reversibility: string;
  readonly needsStatedReason: boolean;
  readonly cautions: readonly { readonly key: string }[];
}

export async function readOperations(signal?: AbortSignal): Promise<readonly Operation[]> {
  return (await get<Page<Operation>>('/v1/operations', {}, signal)).items;
}
