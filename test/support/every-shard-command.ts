/** The part of the story that puts a broken piece together: called by {@link useEveryCommand}. */
import { askAssembly, keepJoining, storeAssembly, withdrawJoining } from '#libs/archive';
import type { By } from './every-campaign-command.js';

const still = { side: 0 as const, angleRad: 0, xMm: 0, yMm: 0 };

/** @param teeth along the edge: many make it an object of its own */
function shard(mark: string, leftMm: number, teeth: number) {
  const [x, y, width, height] = [leftMm, 10, 90, 280];
  const edge = Array.from({ length: teeth }, (_, i) => [
    x + (i % 2),
    y + height - (i * height) / teeth,
  ]).flat();
  return {
    shard: mark,
    areaMm2: width * height,
    ringMm: [x, y, x + width, y, x + width, y + height, ...edge],
  };
}

/** A first proposal; asked again with what a person knows; kept small, kept large, and taken back. */
export async function useShardCommands(
  by: By,
  at: { panelId: string; piece: string; mediaIds: readonly [string, string] },
): Promise<void> {
  const { panelId, piece, mediaIds } = at;
  const marks = [`${piece}s1`, `${piece}s2`] as const;
  const pictures = marks.map((mark, i) => ({ shard: mark, mediaId: mediaIds[i]!, pxPerMm: 8 }));
  await by(askAssembly, { panelId, piece, pictures });
  const locked = [{ shard: marks[0], pose: still }];
  const apart = Array.from({ length: 300 }, () => marks);
  const { assemblyId } = await by(askAssembly, {
    panelId,
    piece,
    pictures,
    locked,
    apart,
  });
  const rings = [shard(marks[0], 10, 40), shard(marks[1], 101, 400)];
  const placed = marks.map((mark) => ({
    shard: mark,
    pose: still,
    certainty: 'probable' as const,
    isLocked: false,
    otherPlaces: [{ pose: { ...still, side: 1 as const, xMm: 200 }, nats: 9.5 }],
  }));
  await by(storeAssembly, {
    assemblyId,
    proposal: {
      outlineMm: [
        [0, 0],
        [200, 0],
        [200, 300],
        [0, 300],
      ], // prettier-ignore
      gapMm: 0.22,
      isInOutline: true,
      coverageRatio: 0.9,
      shards: rings,
      placed,
      loose: [],
      joints: [],
      missing: [],
    },
  });
  const laid = marks.map((mark) => ({ shard: mark, pose: still, laidBy: 'proposal' as const }));
  await by(keepJoining, { panelId, piece, assemblyId, laid: laid.slice(0, 1), note: 'one of two' });
  const kept = await by(keepJoining, { panelId, piece, assemblyId, laid, happened: '2026-05' });
  await by(withdrawJoining, { joiningId: kept.joiningId, reason: 'laid in a hurry' });
}
