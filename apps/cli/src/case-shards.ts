import { join } from 'node:path';
import { z } from 'zod';
import { pictureMatrix, proposeAssembly, readShard, type Shard, ShardError } from '#libs/shards';
import { decodePicture } from './decode-picture.js';
import { Refusal } from './refusal.js';

const inputSchema = z.object({
  shards: z
    .array(z.object({ id: z.string(), image: z.string(), px_per_mm: z.number().positive() }))
    .min(2),
  side: z.string().optional(),
  outline_mm: z
    .array(z.tuple([z.number(), z.number()]))
    .min(3)
    .optional(),
});

/** Assembles one case of shards. @returns the neutral result and a word on it. @throws Refusal */
export async function shardsCase(
  folder: string,
  input: unknown,
): Promise<{ result: object; say: string }> {
  const read = inputSchema.safeParse(input);
  if (!read.success) {
    const issue = read.error.issues[0]!;
    throw new Refusal(`${join(folder, 'input.json')}: ${issue.path.join('.')}: ${issue.message}.`);
  }
  const { shards: pictures, side, outline_mm: outlineMm } = read.data;
  try {
    const shards: Shard[] = [];
    for (const { id, image, px_per_mm: pxPerMm } of pictures) {
      const picture = await decodePicture(join(folder, image));
      shards.push(readShard({ shardId: id, pxPerMm, ...picture }));
    }
    const assembly = proposeAssembly(shards, {
      isEitherFace: side !== undefined && !side.startsWith('all '),
      ...(outlineMm ? { outlineMm } : {}),
    });
    const scale = new Map(pictures.map((p) => [p.id, p.px_per_mm]));
    const result = {
      placements: assembly.placed.map((p) => ({
        id: p.shardId,
        matrix: pictureMatrix(p.pose, scale.get(p.shardId)!),
        certainty: p.certainty,
      })),
      adjacency: assembly.joints.map((j) => ({ a: j.a, b: j.b, length_mm: j.lengthMm })),
      missing_area_mm2: assembly.missing.reduce((sum, part) => sum + part.areaMm2, 0),
      gap_mm: assembly.gapMm,
      coverage: assembly.coverageRatio,
    };
    return { result: { shards: result }, say: `${assembly.placed.length} shards placed` };
  } catch (cause) {
    if (cause instanceof ShardError) throw new Refusal(cause.message, undefined, { cause });
    throw cause;
  }
}
