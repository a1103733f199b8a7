import type { FindingTerm } from '#libs/vocabulary';
import { spoken } from '../../findings/spoken-terms.js';
import { client, everyPage, ifMatch, taken } from './request.js';

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
  /** quantities measured by hand, by name */
  readonly entered: Readonly<Record<string, number>>;
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
  readonly version: number;
}

export interface FindingBody {
  readonly term: string;
  /** left out: found from the geometry */
  readonly inPanel?: string;
  readonly geometry: { kind: GeometryKind; xyMm: [number, number][] };
  readonly face: 'inside' | 'outside';
  readonly layer?: 'front' | 'back';
  readonly netRevision?: number;
  readonly evidence?: string[];
  readonly happened?: string;
  readonly note?: string;
}

/** Points are pairs in the API's schema and lists in its types: said here once. */
export const readFindings = async (
  panelId: string,
  signal: AbortSignal,
): Promise<readonly Finding[]> =>
  (await everyPage((after) =>
    taken(
      client.GET('/v1/panels/{panelId}/findings', {
        params: { path: { panelId }, query: after ? { after } : {} },
        signal,
      }),
    ),
  )) as unknown as readonly Finding[];

/** @param key the same one again does not record it twice */
export const recordFinding = async (
  panelId: string,
  body: FindingBody,
  key: string,
): Promise<Finding> =>
  (await taken(
    client.POST('/v1/panels/{panelId}/findings', {
      params: { path: { panelId } },
      body,
      headers: { 'Idempotency-Key': key },
    }),
  )) as unknown as Finding;

export const withdrawFinding = (
  findingId: string,
  why: string,
  version: number,
): Promise<unknown> =>
  taken(
    client.POST('/v1/findings/{findingId}/withdraw', {
      params: { path: { findingId }, header: ifMatch(version) },
      body: { reason: why },
    }),
  );

/** The studio's vocabulary: finding terms with definition, geometry, measure and sign. */
export async function readTerms(signal: AbortSignal): Promise<readonly FindingTerm[]> {
  const { items } = await taken(client.GET('/v1/terms', { signal }));
  // The names differ from the vocabulary's own; the keys of signs are its own.
  return items.map(
    ({ term, geometry, measure, ...rest }) =>
      spoken({
        ...rest,
        key: term,
        geometries: geometry,
        quantities: measure,
      }) as unknown as FindingTerm,
  );
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

export const readOperations = async (signal: AbortSignal): Promise<readonly Operation[]> =>
  (await taken(client.GET('/v1/operations', { signal }))).items.map(spoken);

/** An operation's label; its key in words where the vocabulary is not read yet or does not know it. */
export const operationLabel = (operations: readonly Operation[] | undefined, key: string): string =>
  operations?.find(({ operation }) => operation === key)?.label ?? key.replaceAll('.', ' ');
