/** A shard set as a case folder (input.json, pictures, truth.json). */
import { mkdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { makeShardSet } from './make-shard-set.js';
import type { ShardSetRecipe } from './shard-sets.js';

/** Counted up with every change of what a recipe gives, so that kept sets are made anew. */
export const SHARD_GENERATOR_VERSION = 1;

/** Written beside and moved in place whole, so that a folder that is there is complete. */
export async function writeShardSet(recipe: ShardSetRecipe, folder: string): Promise<void> {
  const { shots, input, truth } = makeShardSet(recipe);
  const beside = `${folder}.part`;
  rmSync(beside, { recursive: true, force: true });
  mkdirSync(beside, { recursive: true });
  for (const { id, rgb, widthPx, heightPx } of shots) {
    await sharp(rgb, { raw: { width: widthPx, height: heightPx, channels: 3 } })
      .jpeg({ quality: 92, chromaSubsampling: '4:4:4' })
      .toFile(join(beside, `${id}.jpg`));
  }
  writeFileSync(join(beside, 'input.json'), `${JSON.stringify(input)}\n`);
  writeFileSync(join(beside, 'truth.json'), `${JSON.stringify(truth)}\n`);
  renameSync(beside, folder);
}
