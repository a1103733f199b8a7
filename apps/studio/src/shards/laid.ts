/** Where shards lie on the screen, and what a hand does to them; poses as the archive has them. */
import type { Pose } from '#libs/shards';

export type Xy = readonly [number, number];

export interface Laid {
  readonly shard: string;
  readonly pose: Pose;
  readonly isLocked: boolean;
  readonly laidBy: 'proposal' | 'other-place' | 'hand';
}

/** Middle of a shard's box in its picture, mm. @param ringMm x, y, x, y, … */
export function middleOf(ringMm: readonly number[]): Xy {
  const box = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < ringMm.length; i += 2) {
    box[0] = Math.min(box[0]!, ringMm[i]!);
    box[1] = Math.min(box[1]!, ringMm[i + 1]!);
    box[2] = Math.max(box[2]!, ringMm[i]!);
    box[3] = Math.max(box[3]!, ringMm[i + 1]!);
  }
  return [(box[0]! + box[2]!) / 2, (box[1]! + box[3]!) / 2];
}

/** Where a place of the picture comes to lie. */
export function placed({ side, angleRad, xMm, yMm }: Pose, [x, y]: Xy): Xy {
  const [cos, sin, u] = [Math.cos(angleRad), Math.sin(angleRad), side === 1 ? -x : x];
  return [cos * u - sin * y + xMm, sin * u + cos * y + yMm];
}

export const moved = (pose: Pose, dx: number, dy: number): Pose => ({
  ...pose,
  xMm: pose.xMm + dx,
  yMm: pose.yMm + dy,
});

/** Turned about a place of the common frame, clockwise as it is seen. */
export function turned(pose: Pose, [x, y]: Xy, angleRad: number): Pose {
  const [cos, sin] = [Math.cos(angleRad), Math.sin(angleRad)];
  const [dx, dy] = [pose.xMm - x, pose.yMm - y];
  const angle = pose.angleRad + angleRad;
  return {
    side: pose.side,
    // within one turn, as often as it is turned
    angleRad: Math.atan2(Math.sin(angle), Math.cos(angle)),
    xMm: x + cos * dx - sin * dy,
    yMm: y + sin * dx + cos * dy,
  };
}

/** The other face up, its middle where it was. @param middle of the shard in its picture */
export function flipped(pose: Pose, middle: Xy): Pose {
  const at = placed(pose, middle);
  const over: Pose = { ...pose, side: pose.side === 1 ? 0 : 1, xMm: 0, yMm: 0 };
  const [x, y] = placed(over, middle);
  return { ...over, xMm: at[0] - x, yMm: at[1] - y };
}

/** A shard out of the tray, as it was photographed, its middle at a place. */
export const laidAt = (middle: Xy, [x, y]: Xy): Pose => ({
  side: 0,
  angleRad: 0,
  xMm: x - middle[0],
  yMm: y - middle[1],
});

/** As SVG takes a shard's picture there. */
export const transformOf = ({ side, angleRad, xMm, yMm }: Pose): string =>
  `translate(${xMm.toFixed(3)} ${yMm.toFixed(3)}) rotate(${((angleRad * 180) / Math.PI).toFixed(3)})${side === 1 ? ' scale(-1 1)' : ''}`;

export function pathOfFlat(ringMm: readonly number[]): string {
  let d = '';
  for (let i = 0; i < ringMm.length; i += 2)
    d += `${i === 0 ? 'M' : 'L'}${ringMm[i]!} ${ringMm[i + 1]!}`;
  return `${d}Z`;
}

/** Next free number of a shard: 4 after 17s1 and 17s3. */
export const nextShard = (shards: readonly string[]): number =>
  Math.max(0, ...shards.map((shard) => Number(shard.slice(shard.indexOf('s') + 1)))) + 1;
