/** Generated shard sets, kept outside the repository from one run to the next. */
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { ShardSetRecipe } from '../generator/shards/shard-sets.js';
import { SHARD_GENERATOR_VERSION, writeShardSet } from '../generator/shards/write-shard-set.js';

/** The set's folder, made when it is not there. @param keep the temporary folder when left out */
export async function setFolder(recipe: ShardSetRecipe, keep?: string): Promise<string> {
  const root = keep ?? join(tmpdir(), 'mullion-bench');
  mkdirSync(root, { recursive: true });
  const wish = createHash('sha256')
    .update(JSON.stringify([SHARD_GENERATOR_VERSION, recipe]))
    .digest('hex')
    .slice(0, 8);
  const folder = join(root, `shards-${recipe.number}-${wish}`);
  if (!existsSync(join(folder, 'truth.json'))) await writeShardSet(recipe, folder);
  return folder;
}
