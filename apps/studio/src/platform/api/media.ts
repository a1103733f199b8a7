import { say, sayWord } from '../language/say.js';
import { client, taken } from './request.js';

export const mediaKinds = ['photograph', 'rubbing', 'drawing', 'document'] as const;
export type MediaKind = (typeof mediaKinds)[number];
export const lightKinds = ['transmitted', 'reflected', 'raking', 'uv', 'ir', 'mixed'] as const;
export type LightKind = (typeof lightKinds)[number];
export const stages = ['before', 'during', 'after', 'undated'] as const;
export type Stage = (typeof stages)[number];

export interface Media {
  readonly mediaId: string;
  readonly siteId: string;
  readonly digest: string;
  readonly fileName: string;
  readonly contentType: string;
  readonly sizeBytes: number;
  readonly widthPx: number | null;
  readonly heightPx: number | null;
  readonly kind: MediaKind;
  readonly light:
    | { readonly kind: 'raking'; readonly clockHour: number; readonly elevationDeg?: number }
    | { readonly kind: Exclude<LightKind, 'raking'> }
    | null;
  readonly stage: Stage;
  readonly face: 'inside' | 'outside' | null;
  readonly layer: 'front' | 'back' | null;
  readonly subjects: readonly string[];
  readonly author: string | null;
  readonly happened: string | null;
  readonly note: string | null;
  readonly pyramid: 'ready' | 'waiting' | 'none' | 'failed' | 'withdrawn';
  /** the bytes were destroyed on request */
  readonly withdrawn: {
    readonly at: string;
    readonly entrySeq: number;
    readonly reason: string;
    readonly destroyedAt: string | null;
  } | null;
  readonly recordedAt: string;
  readonly entrySeq: number;
  readonly version: number;
}

export const readMedia = (mediaId: string, signal: AbortSignal): Promise<Media> =>
  taken(client.GET('/v1/media/{mediaId}', { params: { path: { mediaId } }, signal }));

export const withdrawMedia = (
  mediaId: string,
  body: { reason: string; askedBy: string; alsoDossiers: boolean; alsoShared: boolean },
): Promise<unknown> =>
  taken(client.POST('/v1/media/{mediaId}/withdraw', { params: { path: { mediaId } }, body }));

/** 'raking light from 9 o’clock, before' */
export function sayMedia(media: Pick<Media, 'kind' | 'light' | 'stage'>): string {
  const light = media.light;
  const words = [
    media.kind === 'photograph' && light ? lightWords(light) : sayWord(media.kind),
    media.stage === 'undated' ? null : sayWord(media.stage),
  ];
  return words.filter((word) => word !== null).join(', ');
}

/** 'raking light from 9 o’clock' */
export function lightWords(light: {
  readonly kind: LightKind;
  readonly clockHour?: number;
}): string {
  const name =
    light.kind === 'uv'
      ? say('ultraviolet')
      : light.kind === 'ir'
        ? say('infrared')
        : sayWord(light.kind);
  const clock =
    light.kind === 'raking' && light.clockHour !== undefined
      ? say(' from {clockHour} o’clock', { clockHour: light.clockHour })
      : '';
  return say('{name} light{clock}', { name, clock });
}
