/** Which joints that lie close together are one. */

/** Two meetings on one lead are one joint when their branches need to move aside by no more than this. */
const ONE_JOINT_MM = 2.8;
/** Parts of a fork go on within 40° of the wall's own direction. */
const FORK_COSINE = 0.77;
/** A lead runs across where it meets the wall at 60° or more. */
const ACROSS_COSINE = 0.5;
/** A fork this far beyond the edge of a face still parts at its lead. */
const UNDER_FACE_MM = 1;
/** A hidden wall counts as so much of its length. */
const HIDDEN_SHARE = 0.4;

/** A stretch of lead between two nodes. */
export interface Part {
  from: number;
  to: number;
  line: Float64Array;
  faceWidthMm: number;
}

export function lengthMm(line: Float64Array): number {
  let s = 0;
  for (let k = 2; k < line.length; k += 2) {
    s += Math.hypot(line[k]! - line[k - 2]!, line[k + 1]! - line[k - 1]!);
  }
  return s;
}

/** Direction of a part from one of its nodes: some 6 mm out, or to its far end. */
function away({ line, from }: Part, node: number): [number, number] {
  const n = line.length;
  const at = from === node;
  const x0 = at ? line[0]! : line[n - 2]!;
  const y0 = at ? line[1]! : line[n - 1]!;
  const steps = Math.min(n / 2 - 1, 8);
  const k = at ? 2 * steps : n - 2 - 2 * steps;
  const dx = line[k]! - x0;
  const dy = line[k + 1]! - y0;
  const d = Math.max(1e-9, Math.hypot(dx, dy));
  return [dx / d, dy / d];
}

/** Who meets a wall at one of its nodes. */
interface Meeting {
  /** Sine of the steepest angle at which another part meets the wall, at least a third. */
  readonly steepest: number;
  /** The wall goes on as two or more parts at a small angle to one another. */
  readonly isFork: boolean;
  /** The wall ends here on a lead that runs across: the widest face of it, else 0, mm. */
  readonly acrossMm: number;
}

function meetingAt(parts: readonly Part[], wall: Part, node: number): Meeting {
  const [ux, uy] = away(wall, node);
  let steepest = 1 / 3;
  let onward = 0;
  let isAcross = true;
  let widestMm = 0;
  for (const part of parts) {
    if (part === wall || (part.from !== node && part.to !== node)) continue;
    const [vx, vy] = away(part, node);
    const cosine = ux * vx + uy * vy;
    steepest = Math.max(steepest, Math.abs(ux * vy - uy * vx));
    if (cosine < -FORK_COSINE) onward++;
    if (Math.abs(cosine) > ACROSS_COSINE) isAcross = false;
    widestMm = Math.max(widestMm, part.faceWidthMm);
  }
  return { steepest, isFork: onward > 1, acrossMm: isAcross ? widestMm : 0 };
}

/**
 * How far the branches at both ends of a wall must move aside to meet in one joint, mm; and where along the wall that
 * is. A branch at a small angle shifts its joint by more than it moves aside; and where leads come together at a small
 * angle their faces hide the wall between them: two that cross share no wall shorter than a face, and a fork that parts
 * under the face of the lead it comes from parts at that lead.
 */
function moveAside(parts: readonly Part[], wall: Part, length: number): { mm: number; at: number } {
  const head = meetingAt(parts, wall, wall.from);
  const tail = meetingAt(parts, wall, wall.to);
  const mm = (length * (head.steepest + tail.steepest)) / 2;
  const hidden = HIDDEN_SHARE * length;
  if (head.isFork && tail.isFork && length < wall.faceWidthMm) return { mm: hidden, at: 0.5 };
  if (head.isFork && length < tail.acrossMm / 2 + UNDER_FACE_MM) return { mm: hidden, at: 1 };
  if (tail.isFork && length < head.acrossMm / 2 + UNDER_FACE_MM) return { mm: hidden, at: 0 };
  return { mm, at: 0.5 };
}

/** Joints closer than `ONE_JOINT_MM` along a lead become one, shortest wall first. Moves `nodes`. */
export function contractShort(parts: readonly Part[], nodes: number[]): Part[] {
  let now = [...parts];
  const lengths = new Map<Part, number>();
  const lengthOfPart = (part: Part): number => {
    const known = lengths.get(part);
    if (known !== undefined) return known;
    const length = lengthMm(part.line);
    lengths.set(part, length);
    return length;
  };
  for (;;) {
    let shortest: Part | undefined;
    let least = ONE_JOINT_MM;
    let at = 0.5;
    for (const part of now) {
      const length = lengthOfPart(part);
      // no angle counts less than a third, so a longer one cannot be the least
      if (length > 3 * ONE_JOINT_MM || length > 3.001 * least) continue;
      const aside = moveAside(now, part, length);
      if (aside.mm < least) {
        least = aside.mm;
        at = aside.at;
        shortest = part;
      }
    }
    if (!shortest) return now;
    const { from, to } = shortest;
    now = now.filter((p) => p !== shortest);
    if (from === to) continue;
    const x = nodes[2 * from]! + at * (nodes[2 * to]! - nodes[2 * from]!);
    const y = nodes[2 * from + 1]! + at * (nodes[2 * to + 1]! - nodes[2 * from + 1]!);
    nodes[2 * from] = x;
    nodes[2 * from + 1] = y;
    now = now.map((p) => {
      if (p.from !== from && p.from !== to && p.to !== from && p.to !== to) return p;
      const line = p.line.slice();
      const starts = p.from === from || p.from === to;
      const stops = p.to === from || p.to === to;
      if (starts) line.set([x, y], 0);
      if (stops) line.set([x, y], line.length - 2);
      return { ...p, line, from: starts ? from : p.from, to: stops ? from : p.to };
    });
  }
}
