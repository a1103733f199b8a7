import { buffer } from 'node:stream/consumers';
import type { ObjectStore } from '#libs/objects';
import type { RecordImage } from '#libs/records';
import type { MediaRow } from '../rows.js';
import type { Tx } from '../tx.js';

/** More would make a record heavier than a mail takes; the dossier has them all. */
const PREVIEWS_MAX = 24;
const PREVIEW_BYTES_MAX = 1_500_000;

/** Pictures as a record shows them, the first of them with their previews. */
export async function recordImages(
  tx: Tx,
  objects: ObjectStore,
  media: readonly MediaRow[],
): Promise<RecordImage[]> {
  const previews = await tx.query<{ sourceDigest: string; digest: string; sizeBytes: number }>(
    `SELECT source_digest, digest, size_bytes FROM derivative
     WHERE kind = 'preview' AND source_digest = ANY($1)`,
    [media.map((one) => one.digest)],
  );
  const byDigest = new Map(previews.map((preview) => [preview.sourceDigest, preview]));
  const images: RecordImage[] = [];
  for (const one of media) {
    const preview = byDigest.get(one.digest);
    const isShown =
      preview !== undefined &&
      preview.sizeBytes <= PREVIEW_BYTES_MAX &&
      images.length < PREVIEWS_MAX;
    images.push({
      fileName: one.fileName,
      digest: one.digest,
      light: lightText(one.light),
      face: one.face as RecordImage['face'],
      stage: one.stage as RecordImage['stage'],
      happened: one.happened,
      scale: null,
      ...(isShown
        ? { previewJpeg: new Uint8Array(await buffer(await objects.read(preview.digest))) }
        : {}),
    });
  }
  return images;
}

function lightText(light: unknown): string | null {
  if (light === null) return null;
  const { kind, clockHour, elevationDeg } = light as {
    kind: string;
    clockHour?: number;
    elevationDeg?: number;
  };
  return [
    kind,
    ...(clockHour === undefined ? [] : [`lamp at ${clockHour} o’clock`]),
    ...(elevationDeg === undefined ? [] : [`${elevationDeg}°`]),
  ].join(', ');
}
