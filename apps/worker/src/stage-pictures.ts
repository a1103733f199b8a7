/** Pictures that a reading computed, into the object store. */
import { randomUUID } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import type { PanelPicture, StagePicture } from './read-rubbing.js';
import type { WorkerPorts } from './worker-job.js';

export async function storeJpeg(
  picture: PanelPicture,
  { imaging, objects, scratchFolder }: WorkerPorts,
): Promise<{ digest: string; sizeBytes: number }> {
  const outPath = join(scratchFolder, randomUUID());
  try {
    await imaging.jpegOfPixels(picture, outPath);
    return await objects.put(createReadStream(outPath));
  } finally {
    await rm(outPath, { force: true });
  }
}

/** Kept under the digest of the net that was read: another reading has other steps. */
export async function keepStages(
  netDigest: string,
  stages: readonly StagePicture[],
  ports: WorkerPorts,
): Promise<void> {
  for (const [order, stage] of stages.entries()) {
    const { key, title, caption, widthPx, heightPx, imageFromPanel } = stage;
    const { digest, sizeBytes } = await storeJpeg(stage, ports);
    await ports.archive.reads.run(
      `INSERT INTO derivative (source_digest, kind, digest, size_bytes, width_px, height_px, provenance, made_at)
       VALUES ($1, $2, $3, $4, $5, $6, $7, now())
       ON CONFLICT (source_digest, kind) DO NOTHING`,
      [
        netDigest,
        `stage/${key}`,
        digest,
        sizeBytes,
        widthPx,
        heightPx,
        JSON.stringify({ order, title, caption, imageFromPanel }),
      ],
    );
  }
}
