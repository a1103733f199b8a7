import type Layer from 'ol/layer/Layer.js';
import { useEffect, useState } from 'react';
import type { Bench } from '../bench/use-bench.js';
import { FlatPictureLayer } from '../drawing/flat-picture-layer.js';
import { asHomography } from '../drawing/homography.js';
import { PictureLayer } from '../drawing/picture-layer.js';
import { TilePyramid } from '../drawing/tile-pyramid.js';
import { sayMedia } from '../platform/api/media.js';
import { netFile } from '../platform/api/nets.js';
import { say } from '../platform/language/say.js';
import { reason } from '../platform/use-answer.js';

/** The flattened picture of the rubbing, the pictures laid under the panel, or none. */
export function pictureChoices({ panel, nets }: Bench): readonly (readonly [string, string])[] {
  const laid = new Set(panel.placements.map((placement) => placement.mediaId));
  return [
    ...(flattenedOf(panel.netRevision, nets)
      ? [['flat', say('the flattened rubbing')] as const]
      : []),
    ...panel.media
      .filter((media) => laid.has(media.mediaId))
      .map((media) => [media.mediaId, sayMedia(media)] as const),
    ['none', say('no picture')] as const,
  ];
}

function flattenedOf(revision: number | null, nets: Bench['nets']) {
  const reading = nets.find((net) => net.revision === revision)?.reading;
  return reading?.rectified ? { revision: reading.revision, ...reading.rectified } : null;
}

/** Makes layers of the chosen picture once it is here; `why` when it cannot be had. */
export function useUnderPicture(
  { panel, nets }: Bench,
  chosen: string,
): { make: (() => Layer) | null; why: string | undefined } {
  const [made, setMade] = useState<{ key: string; make?: () => Layer; why?: string }>();
  const flat = chosen === 'flat' ? flattenedOf(panel.netRevision, nets) : null;
  const placement = panel.placements.find((candidate) => candidate.mediaId === chosen);
  const key = flat
    ? netFile(panel.panelId, flat.revision, 'rectified.jpg')
    : placement
      ? `${placement.mediaId} ${placement.version}`
      : 'none';
  useEffect(() => {
    if (key === 'none') return;
    const leaving = new AbortController();
    const open = async (): Promise<() => Layer> => {
      if (flat) {
        const image = new Image();
        image.src = key;
        await image.decode();
        const matrix = asHomography(flat.imageFromPanel);
        return () => new FlatPictureLayer(image, matrix);
      }
      const pyramid = await TilePyramid.open(chosen, leaving.signal);
      const matrix = asHomography(placement?.imageFromPanel ?? []);
      return () => new PictureLayer(pyramid, matrix);
    };
    open().then(
      (make) => {
        if (!leaving.signal.aborted) setMade({ key, make });
      },
      (error: unknown) => {
        if (!leaving.signal.aborted) setMade({ key, why: reason(error) });
      },
    );
    return () => {
      leaving.abort();
    };
    // The key says when it is another picture.
  }, [key]);
  const current = made?.key === key ? made : undefined;
  return { make: current?.make ?? null, why: current?.why };
}
