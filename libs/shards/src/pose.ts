/** How a shard lies: which face shows, then a turn and a shift, in millimetres. */

export interface Pose {
  /** 0: the face that was photographed; 1: the other one, its picture mirrored at x = 0. */
  readonly side: 0 | 1;
  readonly angleRad: number;
  readonly xMm: number;
  readonly yMm: number;
}

/** A turn and a shift. */
export interface Turn {
  readonly cos: number;
  readonly sin: number;
  readonly x: number;
  readonly y: number;
}

export const STILL: Turn = { cos: 1, sin: 0, x: 0, y: 0 };

export const turnOf = (p: Pose): Turn => ({
  cos: Math.cos(p.angleRad),
  sin: Math.sin(p.angleRad),
  x: p.xMm,
  y: p.yMm,
});

/** First `b`, then `a`. */
export function composeTurns(a: Turn, b: Turn): Turn {
  return {
    cos: a.cos * b.cos - a.sin * b.sin,
    sin: a.sin * b.cos + a.cos * b.sin,
    x: a.cos * b.x - a.sin * b.y + a.x,
    y: a.sin * b.x + a.cos * b.y + a.y,
  };
}

export function inverseTurn({ cos, sin, x, y }: Turn): Turn {
  return { cos, sin: -sin, x: -(cos * x + sin * y), y: sin * x - cos * y };
}

/** Takes b's frame into a's, both lying in one frame by their turns. */
export const relativeTurn = (a: Turn, b: Turn): Turn => composeTurns(inverseTurn(a), b);

/** The same turn seen in the mirror at x = 0. */
export const mirroredTurn = ({ cos, sin, x, y }: Turn): Turn => ({ cos, sin: -sin, x: -x, y });

export const poseOf = (side: 0 | 1, { cos, sin, x, y }: Turn): Pose => ({
  side,
  angleRad: Math.atan2(sin, cos),
  xMm: x,
  yMm: y,
});

/** A small turn about `centre` and a shift, after `t`. */
export function nudgedTurn(
  t: Turn,
  centreX: number,
  centreY: number,
  dx: number,
  dy: number,
  angle: number,
): Turn {
  const cos = Math.cos(angle);
  const sin = Math.sin(angle);
  const rx = t.x - centreX;
  const ry = t.y - centreY;
  return {
    cos: cos * t.cos - sin * t.sin,
    sin: sin * t.cos + cos * t.sin,
    x: centreX + cos * rx - sin * ry + dx,
    y: centreY + sin * rx + cos * ry + dy,
  };
}

/** Two rows [a, b, t] that take picture pixels straight into the common frame. */
export function pictureMatrix(
  p: Pose,
  pxPerMm: number,
): [[number, number, number], [number, number, number]] {
  const cos = Math.cos(p.angleRad) / pxPerMm;
  const sin = Math.sin(p.angleRad) / pxPerMm;
  const f = p.side === 1 ? -1 : 1;
  return [
    [f * cos, -sin, p.xMm],
    [f * sin, cos, p.yMm],
  ];
}
