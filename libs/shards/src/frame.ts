import { distanceField, FIELD_CELLS_PER_MM } from './distance-field.js';
import { addFitSums, fitStep, makeFitSums } from './fit-sums.js';
import { flatArea, reversed } from './level-ring.js';
import { composeTurns, nudgedTurn, STILL, type Turn } from './pose.js';
import { evenRing, ringNormals } from './ring-points.js';
import { SAMPLE_MM, type ShardFace } from './shard-face.js';

/** The piece's outline as a frame: what lies outside of it counts as solid. */
export interface Frame {
  readonly face: ShardFace;
}

/** A face as it lies in some group's frame. */
export interface LyingFace {
  readonly face: ShardFace;
  readonly turn: Turn;
}

const ALONG_MM = 0.5;
const SMOOTH_MM = 0.07;
const NATS_PER_MM = 0.15;
const OUTSIDE_FREE_MM = 0.5;
const OUTSIDE_NATS_PER_MM2 = 1.5;
const ASTRAY_FROM_MM = 1.5;
const ASTRAY_NATS_PER_MM = 0.15;
const FIT_REACHES_MM = [3, 2.5, 2, 1.5, 1.2, 0.9, 0.7];
const TURN_STEP_RAD = Math.PI / 45;

export function makeFrame(outlineMm: readonly (readonly [number, number])[]): Frame {
  const flat = Float64Array.from(outlineMm.flat());
  const ring = evenRing(flatArea(flat) < 0 ? reversed(flat) : flat, SAMPLE_MM);
  const n = ring.length / 2;
  return {
    face: {
      ring,
      // of the solid outside: they point into the piece
      normals: ringNormals(ring, 1).map((v) => -v),
      rough8: new Float32Array(n),
      rough24: new Float32Array(n),
      tone: new Float32Array(n),
      isGround: new Uint8Array(n).fill(1),
      walk: ring,
      field: distanceField(ring, true),
    },
  };
}

/**
 * Nats for faces lying so in the frame: original edges along it speak for, glass beyond it and original edges away
 * from it against.
 */
export function frameNats({ face: { field } }: Frame, faces: readonly LyingFace[]): number {
  let along = 0;
  let outside = 0;
  let astray = 0;
  for (const { face, turn } of faces) {
    const { ring, rough8, isGround } = face;
    for (let m = 0; m < rough8.length; m++) {
      const x = turn.cos * ring[2 * m]! - turn.sin * ring[2 * m + 1]! + turn.x;
      const y = turn.sin * ring[2 * m]! + turn.cos * ring[2 * m + 1]! + turn.y;
      const d = frameDistance(field, x, y);
      if (d < -OUTSIDE_FREE_MM) outside -= d + OUTSIDE_FREE_MM;
      else if (d < ALONG_MM && rough8[m]! < SMOOTH_MM) along++;
      else if (d > ASTRAY_FROM_MM && isGround[m] === 1) astray++;
    }
  }
  return (
    SAMPLE_MM * (NATS_PER_MM * along - OUTSIDE_NATS_PER_MM2 * outside - ASTRAY_NATS_PER_MM * astray)
  );
}

function frameDistance(field: ShardFace['field'], x: number, y: number): number {
  const u = (x - field.x0) * FIELD_CELLS_PER_MM + 0.5;
  const v = (y - field.y0) * FIELD_CELLS_PER_MM + 0.5;
  if (!(u >= 0 && v >= 0 && u < field.width && v < field.height)) return -3;
  return field.distance[(v | 0) * field.width + (u | 0)]!;
}

export interface FrameFit {
  /** Takes the group's frame into the outline's. */
  readonly turn: Turn;
  readonly nats: number;
  /** Nats of the best fit that lies elsewhere. */
  readonly nextNats: number;
}

/** Looks for the group's place in the outline: every turn, pushed against each corner and the middle, then settled. */
export function fitFrame(frame: Frame, group: readonly LyingFace[]): FrameFit {
  const fits: { turn: Turn; nats: number }[] = [];
  for (let angle = 0; angle < 2 * Math.PI - 1e-6; angle += TURN_STEP_RAD) {
    for (const start of startsAt(frame, group, angle)) {
      const rough = frameNats(frame, moved(group, start));
      fits.push({ turn: start, nats: rough });
    }
  }
  fits.sort((a, b) => b.nats - a.nats);
  const settled = fits
    .slice(0, 40)
    .map(({ turn }) => settleInFrame(frame, group, turn))
    .map((turn) => ({ turn, nats: frameNats(frame, moved(group, turn)) }))
    .sort((a, b) => b.nats - a.nats);
  const best = settled[0]!;
  const other = settled.find(
    ({ turn: t }) =>
      Math.hypot(t.x - best.turn.x, t.y - best.turn.y) > 5 ||
      t.cos * best.turn.cos + t.sin * best.turn.sin < 0.99,
  );
  return { ...best, nextNats: other?.nats ?? -Infinity };
}

const moved = (group: readonly LyingFace[], turn: Turn): LyingFace[] =>
  group.map((g) => ({ face: g.face, turn: composeTurns(turn, g.turn) }));

function settleInFrame(frame: Frame, group: readonly LyingFace[], start: Turn): Turn {
  let turn = start;
  const sums = makeFitSums();
  const [cx, cy] = middleOfRing(frame.face.ring);
  for (const reachMm of FIT_REACHES_MM) {
    sums.fill(0);
    for (const g of group) {
      addFitSums(sums, frame.face, g.face, composeTurns(turn, g.turn), STILL, cx, cy, 0, reachMm);
    }
    const step = fitStep(sums);
    if (step === null) return turn;
    turn = nudgedTurn(turn, cx, cy, ...step);
  }
  return turn;
}

function startsAt(frame: Frame, group: readonly LyingFace[], angle: number): Turn[] {
  const spin: Turn = { cos: Math.cos(angle), sin: Math.sin(angle), x: 0, y: 0 };
  const own = bounds(moved(group, spin));
  const [x1, y1, x2, y2] = bounds([{ face: frame.face, turn: STILL }]);
  const shifts: [number, number][] = [
    [x1 - own[0], y1 - own[1]],
    [x2 - own[2], y1 - own[1]],
    [x2 - own[2], y2 - own[3]],
    [x1 - own[0], y2 - own[3]],
    [(x1 + x2 - own[0] - own[2]) / 2, (y1 + y2 - own[1] - own[3]) / 2],
  ];
  return shifts.map(([x, y]) => ({ ...spin, x, y }));
}

function bounds(faces: readonly LyingFace[]): [number, number, number, number] {
  let [x1, y1, x2, y2] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { face, turn } of faces) {
    for (let i = 0; i < face.ring.length; i += 4) {
      const x = turn.cos * face.ring[i]! - turn.sin * face.ring[i + 1]! + turn.x;
      const y = turn.sin * face.ring[i]! + turn.cos * face.ring[i + 1]! + turn.y;
      x1 = Math.min(x1, x);
      x2 = Math.max(x2, x);
      y1 = Math.min(y1, y);
      y2 = Math.max(y2, y);
    }
  }
  return [x1, y1, x2, y2];
}

function middleOfRing(ring: Float64Array): [number, number] {
  let x = 0;
  let y = 0;
  for (let i = 0; i < ring.length; i += 2) {
    x += ring[i]!;
    y += ring[i + 1]!;
  }
  return [(2 * x) / ring.length, (2 * y) / ring.length];
}
