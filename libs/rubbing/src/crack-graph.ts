/**
 * Boundaries between regions as a graph: nodes where three or more regions meet, chains of steps between them.
 * Traced between the cells, so every chain has one region on each side and every region is closed, by construction.
 */
import type { Regions } from './regions.js';

export interface CrackChain {
  readonly from: number;
  readonly to: number;
  /** Flat x,y in cells, centres at integers (corners lie at halves); both ends included. */
  readonly xy: Float64Array;
  /** Regions on the left and right of the direction of travel, y down. */
  readonly left: number;
  readonly right: number;
}

export interface CrackGraph {
  /** Flat x,y in cells. */
  readonly nodes: Float64Array;
  readonly chains: readonly CrackChain[];
}

const DX = [1, 0, -1, 0];
const DY = [0, 1, 0, -1];

export function crackGraph(regions: Regions): CrackGraph {
  const { width, height, labels } = regions;
  const w = width + 1; // corners; corner (x, y) is the top left of cell (x, y)
  const at = (x: number, y: number): number =>
    x < 0 || y < 0 || x >= width || y >= height ? regions.outside : labels[y * width + x]!;
  /** Is there a boundary from corner (x, y) in direction d (right, down, left, up)? */
  const open = (x: number, y: number, d: number): boolean => {
    switch (d) {
      case 0:
        return at(x, y - 1) !== at(x, y);
      case 1:
        return at(x - 1, y) !== at(x, y);
      case 2:
        return at(x - 1, y - 1) !== at(x - 1, y);
      default:
        return at(x - 1, y - 1) !== at(x, y - 1);
    }
  };
  const degree = (x: number, y: number): number => {
    let n = 0;
    for (let d = 0; d < 4; d++) if (open(x, y, d)) n++;
    return n;
  };
  const nodeAt = new Int32Array(w * (height + 1)).fill(-1);
  const nodes: number[] = [];
  const addNode = (x: number, y: number): number => {
    const k = nodes.length / 2;
    nodeAt[y * w + x] = k;
    nodes.push(x - 0.5, y - 0.5);
    return k;
  };
  for (let y = 0; y <= height; y++) {
    for (let x = 0; x <= width; x++) if (degree(x, y) > 2) addNode(x, y);
  }
  const used = new Uint8Array(w * (height + 1)); // bit d: step in direction d walked
  const chains: CrackChain[] = [];
  const walk = (x0: number, y0: number, d0: number): void => {
    const xy = [x0 - 0.5, y0 - 0.5];
    let x = x0;
    let y = y0;
    let d = d0;
    // y down: going right, left is above
    const sides = (): [number, number] => {
      const cx = DX[d]!;
      const cy = DY[d]!;
      const ax = cx === 1 ? x : cx === -1 ? x - 1 : x;
      const ay = cy === 1 ? y : cy === -1 ? y - 1 : y;
      switch (d) {
        case 0:
          return [at(ax, y - 1), at(ax, y)];
        case 1:
          return [at(x, ay), at(x - 1, ay)];
        case 2:
          return [at(ax, y), at(ax, y - 1)];
        default:
          return [at(x - 1, ay), at(x, ay)];
      }
    };
    const [left, right] = sides();
    for (;;) {
      used[y * w + x]! |= 1 << d;
      x += DX[d]!;
      y += DY[d]!;
      used[y * w + x]! |= 1 << ((d + 2) % 4);
      xy.push(x - 0.5, y - 0.5);
      if (nodeAt[y * w + x] !== -1) break;
      let next = -1;
      for (let e = 0; e < 4; e++) {
        if (e !== (d + 2) % 4 && open(x, y, e)) next = e;
      }
      d = next;
    }
    chains.push({
      from: nodeAt[y0 * w + x0]!,
      to: nodeAt[y * w + x]!,
      xy: Float64Array.from(xy),
      left,
      right,
    });
  };
  for (let k = 0, count = nodes.length / 2; k < count; k++) {
    const x = nodes[2 * k]! + 0.5;
    const y = nodes[2 * k + 1]! + 0.5;
    for (let d = 0; d < 4; d++) {
      if (open(x, y, d) && !(used[y * w + x]! & (1 << d))) walk(x, y, d);
    }
  }
  // closed boundaries without a node: two nodes are put on opposite places
  for (let y = 0; y <= height; y++) {
    for (let x = 0; x <= width; x++) {
      if (!open(x, y, 0) || used[y * w + x]! & 1) continue;
      const loop = loopFrom(x, y, open);
      const half = (loop.length / 4) | 0;
      addNode(x, y);
      addNode(loop[2 * half]!, loop[2 * half + 1]!);
      for (let d = 0; d < 4; d++) {
        if (open(x, y, d) && !(used[y * w + x]! & (1 << d))) walk(x, y, d);
      }
    }
  }
  return { nodes: Float64Array.from(nodes), chains };
}

function loopFrom(
  x0: number,
  y0: number,
  open: (x: number, y: number, d: number) => boolean,
): number[] {
  const out = [x0, y0];
  let x = x0 + 1;
  let y = y0;
  let d = 0;
  while (x !== x0 || y !== y0) {
    out.push(x, y);
    let next = -1;
    for (let e = 0; e < 4; e++) if (e !== (d + 2) % 4 && open(x, y, e)) next = e;
    d = next;
    x += DX[d]!;
    y += DY[d]!;
  }
  return out;
}
