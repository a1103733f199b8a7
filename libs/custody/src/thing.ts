/**
 * What can be in somebody's custody: whatever has a mark, and samples taken from it. A thing goes
 * by its key: the full mark, `SLM.wI.3b.17`, or mark and sample, `SLM.wI.3b.17 sample C1`.
 */

export interface Thing {
  /** full mark */
  readonly mark: string;
  /** name of a sample that was taken there; null: the thing itself */
  readonly sample: string | null;
}

const SAMPLE = ' sample ';
/** `17a`, `17s3`, `17p1`: parts, shards and plates of piece 17; a replacement `17r2` is glass of its own. */
const OF_A_PIECE = /^(\d+)(?:[a-z]|s\d+|p\d+)$/;

export const thingKey = ({ mark, sample }: Thing): string =>
  sample === null ? mark : `${mark}${SAMPLE}${sample}`;

export function readThing(key: string): Thing {
  const [mark = '', sample = null] = key.split(SAMPLE);
  return { mark, sample };
}

/** `SLM.wI.3b` of whatever lies in that panel; null for what lies in none. */
export function panelMarkOf(mark: string): string | null {
  const [site, window, panel] = mark.split('.');
  return site === undefined || window === undefined || panel === undefined
    ? null
    : `${site}.${window}.${panel}`;
}

/**
 * The thing and what it is part of, the nearest first: a thing is where the nearest of them is of which
 * something was said. Above the panel nothing counts: a window stays in its wall.
 */
export function withWhole(key: string): string[] {
  const { mark, sample } = readThing(key);
  const parts = mark.split('.');
  const chain = sample === null ? [mark] : [key, mark];
  const piece = OF_A_PIECE.exec(parts[3] ?? '')?.[1];
  if (piece !== undefined) chain.push([...parts.slice(0, 3), piece].join('.'));
  const panel = panelMarkOf(mark);
  if (panel !== null && panel !== mark) chain.push(panel);
  return chain;
}
