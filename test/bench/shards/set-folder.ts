import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { ShardSetRecipe } from '../generator/shards/shard-sets.js';
import { SHARD_GENERATOR_VERSION, writeShardSet } from '../generator/shards/write-shard-set.js';
import { keptFolder } from '../kept-folder.js';

/** The set's folder, made when it is not there. @param keep the temporary folder when left out */
export async function setFolder(recipe: ShardSetRecipe, keep?: string): Promise<string> {
  const folder = keptFolder(`shards-${recipe.number}`, [SHARD_GENERATOR_VERSION, recipe], keep);
  if (!existsSync(join(folder, 'truth.json'))) await writeShardSet(recipe, folder);
  return folder;
}
