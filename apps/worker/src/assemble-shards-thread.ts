/** Thread that reads the shards of one piece, picture by picture, and proposes how they lie together. */
import { readFileSync } from 'node:fs';
import { parentPort } from 'node:worker_threads';
import type { ShardsProposal } from '#libs/archive';
import { boundsMm, roundXy, toMicron, type XyMm } from '#libs/net';
import {
  type Assembly,
  laidRing,
  type Pose,
  proposeAssembly,
  readShard,
  type Shard,
  ShardError,
  shardEdge,
  shardRing,
} from '#libs/shards';
import type { AssembleAsk, ShardFile, ShardsMessage } from './assemble-shards.js';

const shards: Shard[] = [];

function tell(message: ShardsMessage): void {
  parentPort!.postMessage(message);
}

function read({ shard, path, widthPx, heightPx, pxPerMm }: ShardFile): void {
  const rgb = readFileSync(path);
  shards.push(readShard({ shardId: shard, rgb, widthPx, heightPx, pxPerMm }));
  tell({ kind: 'read' });
}

function assemble({ outlineMm, isEitherFace, locked, apart }: AssembleAsk): void {
  const assembly = proposeAssembly(shards, {
    isEitherFace,
    outlineMm,
    locked: locked.map(({ shard, pose }) => ({ shardId: shard, pose })),
    apart,
    progress: (ratio) => {
      tell({ kind: 'progress', ratio });
    },
  });
  tell({ kind: 'proposed', proposal: told(assembly, outlineMm) });
}

/** In the archive's words and digits; a group that did not fit into the outline is laid over its middle. */
function told(assembly: Assembly, outlineMm: AssembleAsk['outlineMm']): ShardsProposal {
  const shift = assembly.isInOutline ? ([0, 0] as const) : toMiddle(assembly, outlineMm);
  const moved = ([x, y]: XyMm): [number, number] => [...roundXy([x + shift[0], y + shift[1]])];
  const pose = ({ side, angleRad, xMm, yMm }: Pose): Pose => {
    const [x, y] = moved([xMm, yMm]);
    return { side, angleRad: Math.round(angleRad * 1e6) / 1e6, xMm: x, yMm: y };
  };
  return {
    outlineMm,
    gapMm: toMicron(assembly.gapMm),
    isInOutline: assembly.isInOutline,
    coverageRatio: assembly.coverageRatio,
    shards: shards.map((shard) => ({
      shard: shard.shardId,
      areaMm2: toMicron(shard.areaMm2),
      ringMm: shardRing(shard),
    })),
    placed: assembly.placed.map(({ shardId, certainty, isLocked, otherPlaces, ...at }) => ({
      shard: shardId,
      pose: pose(at.pose),
      certainty,
      isLocked,
      otherPlaces: otherPlaces.map((other) => ({
        pose: pose(other.pose),
        nats: toMicron(other.nats),
      })),
    })),
    loose: [...assembly.loose],
    joints: assembly.joints.map(({ a, b, lengthMm, nats, linesMm }) => ({
      a,
      b,
      lengthMm: toMicron(lengthMm),
      nats: toMicron(nats),
      linesMm: linesMm.map((line) => line.map(moved)),
    })),
    missing: assembly.missing.map(({ ringsMm, areaMm2 }) => ({
      ringsMm: ringsMm.map((ring) => ring.map(moved)),
      areaMm2: toMicron(areaMm2),
    })),
  };
}

function toMiddle({ placed }: Assembly, outlineMm: AssembleAsk['outlineMm']): XyMm {
  const byId = new Map(shards.map((shard) => [shard.shardId, shard]));
  const points = placed.flatMap(({ shardId, pose }) =>
    laidRing({ edge: shardEdge(shardId, shardRing(byId.get(shardId)!)), pose }),
  );
  if (points.length === 0) return [0, 0];
  const [from, to] = [boundsMm(points), boundsMm(outlineMm)];
  return [
    (to.minX + to.maxX - from.minX - from.maxX) / 2,
    (to.minY + to.maxY - from.minY - from.maxY) / 2,
  ];
}

parentPort!.on('message', (ask: ShardFile | AssembleAsk) => {
  try {
    if (ask.kind === 'picture') read(ask);
    else assemble(ask);
  } catch (error) {
    if (error instanceof ShardError) {
      const { message, fault, shardId } = error;
      tell({ kind: 'refused', message, fault, shard: shardId });
    } else {
      tell({ kind: 'broken', stack: error instanceof Error ? (error.stack ?? '') : String(error) });
    }
  }
});
