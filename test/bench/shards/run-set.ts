/** One set assembled and scored. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { pictureMatrix, proposeAssembly, readShard, type Shard } from '#libs/shards';
import { type ShardsScore, type ShardsTruth, scoreShards } from '../score/score-shards.js';

export interface ShardOutcome {
  name: string;
  kind: string;
  score: ShardsScore;
  /** Wrong ones, and all of them, among those called sure. */
  sureWrong: number;
  sure: number;
  /** Length of all joints found that are true ones, over their true length. */
  bondRatio: number;
  missingMm2: number;
  hasOutline: boolean;
  cpuSeconds: number;
}

interface Input {
  shards: { id: string; image: string; px_per_mm: number }[];
  side: string;
  outline_mm?: [number, number][];
}

export async function runShardSet(
  name: string,
  kind: string,
  folder: string,
): Promise<ShardOutcome> {
  const input = JSON.parse(readFileSync(join(folder, 'input.json'), 'utf8')) as Input;
  const truth = JSON.parse(readFileSync(join(folder, 'truth.json'), 'utf8')) as ShardsTruth;
  let cpuSeconds = 0;
  const timed = <T>(work: () => T): T => {
    const before = process.cpuUsage();
    const result = work();
    const { user, system } = process.cpuUsage(before);
    cpuSeconds += (user + system) / 1e6;
    return result;
  };
  const shards: Shard[] = [];
  for (const { id, image, px_per_mm: pxPerMm } of input.shards) {
    const { data, info } = await sharp(join(folder, image))
      .removeAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true });
    const picture = { shardId: id, widthPx: info.width, heightPx: info.height, rgb: data, pxPerMm };
    shards.push(timed(() => readShard(picture)));
  }
  const assembly = timed(() =>
    proposeAssembly(shards, {
      isEitherFace: !input.side.startsWith('all '),
      ...(input.outline_mm ? { outlineMm: input.outline_mm } : {}),
    }),
  );
  const scale = new Map(input.shards.map((s) => [s.id, s.px_per_mm]));
  const score = scoreShards(truth, {
    placements: assembly.placed.map((p) => ({
      id: p.shardId,
      matrix: pictureMatrix(p.pose, scale.get(p.shardId)!),
    })),
    adjacency: assembly.joints.map(({ a, b }) => ({ a, b })),
    ...(assembly.isInOutline || assembly.missing.length > 0
      ? { missing_area_mm2: assembly.missing.reduce((s, part) => s + part.areaMm2, 0) }
      : {}),
  });
  const sure = assembly.placed.filter((p) => p.certainty === 'sure').map((p) => p.shardId);
  const key = (a: string, b: string): string => [a, b].sort().join(' ');
  const trueLength = new Map(truth.adjacency.map((j) => [key(j.a, j.b), j.shared_mm]));
  const both = assembly.joints.filter((j) => trueLength.has(key(j.a, j.b)));
  return {
    name,
    kind,
    score,
    sure: sure.length,
    sureWrong: sure.filter((id) => score.wrong.includes(id)).length,
    bondRatio:
      both.reduce((s, j) => s + j.lengthMm, 0) /
      both.reduce((s, j) => s + trueLength.get(key(j.a, j.b))!, 0),
    missingMm2: truth.missing_area_mm2,
    hasOutline: input.outline_mm !== undefined,
    cpuSeconds,
  };
}
