import type { Net } from '#libs/net';
import { client, ifMatch, taken } from './request.js';

/** A drawing of new work as a file, and how it is to be read. */
export interface CartoonAsked {
  readonly fileName: string;
  readonly text: string;
  /** millimetres in one unit of the file, where the file does not say or says it wrong */
  readonly unitMm?: number;
  /** gaps up to this are closed */
  readonly toleranceMm?: number;
  readonly faceWidthMm?: number;
  /** names of the layers that hold the leads */
  readonly layers?: string[];
  /** box: the rectangle round the lines is the outer edge */
  readonly outline?: 'drawn' | 'box';
}

export interface Repair {
  readonly kind: string;
  readonly sentence: string;
  readonly xyMm: readonly [number, number] | null;
}

export interface CartoonRead {
  readonly format: string;
  readonly unitMm: number;
  readonly unitFrom: string;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly layers: readonly { name: string; lines: number; isUsed: boolean }[];
  readonly repairs: readonly Repair[];
  readonly net: Net;
}

/** Reads a cartoon and says what had to be put right; nothing is stored. */
export const checkCartoon = async (
  panelId: string,
  asked: CartoonAsked,
  signal: AbortSignal,
): Promise<CartoonRead> =>
  (await taken(
    client.POST('/v1/panels/{panelId}/nets/import-check', {
      params: { path: { panelId } },
      body: asked,
      signal,
    }),
  )) as unknown as CartoonRead;

/** @param last revision that the person saw; 0 when there was none */
export const importNet = (
  panelId: string,
  asked: CartoonAsked & { note: string },
  last: number,
): Promise<{ revision: number }> =>
  taken(
    client.POST('/v1/panels/{panelId}/nets/import', {
      params: { path: { panelId }, header: ifMatch(last) },
      body: asked,
    }),
  );
