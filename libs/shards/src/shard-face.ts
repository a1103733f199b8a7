import { type DistanceField, distanceField } from './distance-field.js';
import { edgeTone } from './edge-tone.js';
import { groundRuns, roughness } from './edge-traits.js';
import type { FoundShard } from './find-shard.js';
import { flatArea } from './level-ring.js';
import { evenRing, mirroredRing, ringNormals, smoothRing } from './ring-points.js';

/** Edge samples lie this far apart. */
export const SAMPLE_MM = 0.5;
const FINE_MM = 0.1;
const SMOOTHED_OVER_MM = 0.1;
/** The search by windows steps by a millimetre over a line smoothed so far. */
const WALK_SMOOTHED_OVER_MM = 0.25;
const SHORT_WINDOW_MM = 8;
const LONG_WINDOW_MM = 24;

/** One face of a shard as the search sees it: samples of the edge, each with what is known there. */
export interface ShardFace {
  /** Flat ring at SAMPLE_MM, positive area, millimetres of the picture (mirrored at x = 0 for side 1). */
  readonly ring: Float64Array;
  readonly normals: Float64Array;
  /** rms from a parabola over 8 and over 24 mm. */
  readonly rough8: Float32Array;
  readonly rough24: Float32Array;
  /** Mean log brightness inside the edge. */
  readonly tone: Float32Array;
  /** 1 where the edge looks cut or ground. */
  readonly isGround: Uint8Array;
  /** The ring walked at 0.1 mm, for the window search. */
  readonly walk: Float64Array;
  readonly field: DistanceField;
}

export interface Shard {
  readonly shardId: string;
  readonly areaMm2: number;
  /** Middle of the ring's bounds, and the farthest point from it. */
  readonly centreX: number;
  readonly centreY: number;
  readonly radiusMm: number;
  /** As photographed, and mirrored. */
  readonly faces: readonly [ShardFace, ShardFace];
}

/** Prepares a found outline for the search. `pxPerMm` is the picture's scale. */
export function makeShard(shardId: string, found: FoundShard, pxPerMm: number): Shard {
  const fine = smoothRing(evenRing(found.ringMm, FINE_MM), SMOOTHED_OVER_MM / FINE_MM);
  const walk = smoothRing(evenRing(found.ringMm, FINE_MM), WALK_SMOOTHED_OVER_MM / FINE_MM);
  const ring = evenRing(fine, SAMPLE_MM);
  const stepMm = ringLength(ring) / (ring.length / 2);
  const normals = ringNormals(ring, 1);
  const rough8 = roughness(ring, stepMm, SHORT_WINDOW_MM);
  const traits = {
    rough8,
    rough24: roughness(ring, stepMm, LONG_WINDOW_MM),
    tone: edgeTone(found.lit, ring, normals, pxPerMm),
    isGround: groundRuns(rough8, stepMm),
  };
  const face: ShardFace = { ring, normals, walk, field: distanceField(ring), ...traits };
  const otherRing = mirroredRing(ring);
  const other: ShardFace = {
    ring: otherRing,
    normals: ringNormals(otherRing, 1),
    walk: mirroredRing(walk),
    field: distanceField(otherRing),
    rough8: traits.rough8.slice().reverse(),
    rough24: traits.rough24.slice().reverse(),
    tone: traits.tone.slice().reverse(),
    isGround: traits.isGround.slice().reverse(),
  };
  return { shardId, areaMm2: flatArea(ring), ...roundAbout(ring), faces: [face, other] };
}

function ringLength(ring: Float64Array): number {
  let sum = 0;
  const n = ring.length;
  for (let i = 0; i < n; i += 2) {
    const j = (i + 2) % n;
    sum += Math.hypot(ring[j]! - ring[i]!, ring[j + 1]! - ring[i + 1]!);
  }
  return sum;
}

function roundAbout(ring: Float64Array): { centreX: number; centreY: number; radiusMm: number } {
  const xs = ring.filter((_, i) => i % 2 === 0);
  const ys = ring.filter((_, i) => i % 2 === 1);
  const centreX = (Math.min(...xs) + Math.max(...xs)) / 2;
  const centreY = (Math.min(...ys) + Math.max(...ys)) / 2;
  let radiusMm = 0;
  for (let i = 0; i < ring.length; i += 2) {
    radiusMm = Math.max(radiusMm, Math.hypot(ring[i]! - centreX, ring[i + 1]! - centreY));
  }
  return { centreX, centreY, radiusMm };
}
