/** Faces of a draft and which region of the sheet each is. */
import { isInsideRing, labelPoint, ringAreaMm2, type XyMm } from '#libs/net';
import { type Draft, lineOf } from './draft.js';
import { rebuild } from './junctions.js';

interface Face {
  readonly ring: readonly XyMm[];
  readonly leads: readonly number[];
  readonly nodes: readonly number[];
  readonly component: number;
  /** Positive for a piece, negative for the outside of a part. */
  readonly areaMm2: number;
}

export interface DraftFaces {
  readonly faces: readonly Face[];
  /** Face on the left and right of each lead. */
  readonly sides: readonly (readonly [number, number])[];
}

/** Half-edge 2i runs along lead i, 2i + 1 against it; each has its face on the left (y down: above when going right). */
export function draftFaces(draft: Draft): DraftFaces {
  const lines = draft.leads.map((lead) => lineOf(draft, lead));
  const root = Int32Array.from({ length: draft.nodeCount }, (_, k) => k);
  const find = (a: number): number => {
    while (root[a] !== a) a = root[a]!;
    return a;
  };
  const around: { half: number; angle: number }[][] = Array.from(
    { length: draft.nodeCount },
    () => [],
  );
  draft.leads.forEach((lead, i) => {
    root[find(lead.from)] = find(lead.to);
    const line = lines[i]!;
    const n = line.length;
    around[lead.from]!.push({
      half: 2 * i,
      angle: Math.atan2(line[3]! - line[1]!, line[2]! - line[0]!),
    });
    around[lead.to]!.push({
      half: 2 * i + 1,
      angle: Math.atan2(line[n - 3]! - line[n - 1]!, line[n - 4]! - line[n - 2]!),
    });
  });
  const next = new Int32Array(2 * draft.leads.length);
  for (const list of around) {
    list.sort((a, b) => a.angle - b.angle);
    // arriving by the reverse of list[k], the face on the left goes on with the next larger angle
    list.forEach(({ half }, k) => {
      next[half ^ 1] = list[(k + 1) % list.length]!.half;
    });
  }
  const faceOf = new Int32Array(next.length).fill(-1);
  const faces: Face[] = [];
  for (let start = 0; start < next.length; start++) {
    if (faceOf[start] !== -1) continue;
    const ring: XyMm[] = [];
    const leads: number[] = [];
    const nodes: number[] = [];
    let half = start;
    do {
      faceOf[half] = faces.length;
      const lead = half >> 1;
      const line = lines[lead]!;
      const n = line.length / 2;
      for (let k = 0; k + 1 < n; k++) {
        const at = half & 1 ? n - 1 - k : k;
        ring.push([line[2 * at]!, line[2 * at + 1]!]);
      }
      leads.push(lead);
      nodes.push(half & 1 ? draft.leads[lead]!.to : draft.leads[lead]!.from);
      half = next[half]!;
    } while (half !== start);
    faces.push({
      ring,
      leads,
      nodes,
      component: find(nodes[0]!),
      areaMm2: -ringAreaMm2(ring),
    });
  }
  return {
    faces,
    sides: draft.leads.map((_, i) => [faceOf[2 * i]!, faceOf[2 * i + 1]!] as const),
  };
}

/** Without leads that have one face on both sides: they end in the glass, or bound nothing. */
export function withoutBridges(draft: Draft): Draft {
  let now = draft;
  for (;;) {
    const { sides } = draftFaces(now);
    const gone = new Set(now.leads.filter((_, i) => sides[i]![0] === sides[i]![1]));
    if (gone.size === 0) return now;
    now = rebuild(now, gone, (node) => node);
  }
}

/** A place well inside each region of a draft whose sides are known, the outside left out. */
export function regionPlaces(draft: Draft, outside: number): Map<number, XyMm> {
  const { faces, sides } = draftFaces(draft);
  const out = new Map<number, XyMm>();
  draft.leads.forEach((lead, i) => {
    for (const [region, face] of [
      [lead.left, sides[i]![0]],
      [lead.right, sides[i]![1]],
    ] as const) {
      if (region === outside || out.has(region) || faces[face]!.areaMm2 <= 0) continue;
      out.set(region, labelPoint([faces[face]!.ring]).xyMm);
    }
  });
  return out;
}

/**
 * Writes the sides of the leads from where the regions lie.
 * @returns regions that have no face of their own, or one that touches itself; and places of faces with no region
 */
export function nameSides(
  draft: Draft,
  places: ReadonlyMap<number, XyMm>,
  outside: number,
): { regions: number[]; faces: (readonly XyMm[])[] } {
  const { faces, sides } = draftFaces(draft);
  const boxes = faces.map(({ ring }) => boxOf(ring));
  const faceAt = ([x, y]: XyMm, but: number): number => {
    let best = -1;
    faces.forEach((face, f) => {
      const [x0, y0, x1, y1] = boxes[f]!;
      if (face.areaMm2 <= 0 || face.component === but) return;
      if (x < x0 || x > x1 || y < y0 || y > y1) return;
      if (best >= 0 && faces[best]!.areaMm2 < face.areaMm2) return;
      if (isInsideRing([x, y], face.ring)) best = f;
    });
    return best;
  };
  const regionOf = new Map<number, number>();
  const wrong: number[] = [];
  for (const [region, xy] of places) {
    const f = faceAt(xy, -1);
    if (f < 0 || regionOf.has(f)) {
      wrong.push(region);
      if (f >= 0) wrong.push(regionOf.get(f)!);
    } else regionOf.set(f, region);
  }
  const spare: (readonly XyMm[])[] = [];
  faces.forEach((face, f) => {
    if (face.areaMm2 > 0) {
      if (!regionOf.has(f)) spare.push(face.ring);
      else if (new Set(face.nodes).size < face.nodes.length) wrong.push(regionOf.get(f)!);
      return;
    }
    const holder = faceAt(face.ring[0]!, face.component);
    regionOf.set(f, holder < 0 ? outside : (regionOf.get(holder) ?? outside));
  });
  draft.leads.forEach((lead, i) => {
    lead.left = regionOf.get(sides[i]![0]) ?? -1;
    lead.right = regionOf.get(sides[i]![1]) ?? -1;
  });
  return { regions: wrong, faces: spare };
}

function boxOf(ring: readonly XyMm[]): [number, number, number, number] {
  const box: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of ring) {
    box[0] = Math.min(box[0], x);
    box[1] = Math.min(box[1], y);
    box[2] = Math.max(box[2], x);
    box[3] = Math.max(box[3], y);
  }
  return box;
}
