/** The bundled tray (fixtures/shards, exact truth), a drawn disc, and textbook graphs; no expected value is our own. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from '@jest/globals';
import sharp from 'sharp';
import { findShard } from './find-shard.js';
import { flatArea } from './level-ring.js';
import { minimumCut } from './min-cut.js';
import { coveredShare, missingParts } from './missing.js';
import { proposeAssembly, readShard } from './propose.js';
import type { Shard } from './shard-face.js';
import type { ShardPicture } from './shard-picture.js';
import { solvePositive } from './solve-positive.js';
import type { Assembly } from './tell-assembly.js';
import { shardEdge, tellLaid } from './tell-laid.js';

const folder = fileURLToPath(new URL('../../../fixtures/shards', import.meta.url));

/** A disc of glass on a light that falls off to one side. */
function discPicture(radiusMm: number, lets: number, pxPerMm = 8): ShardPicture {
  const sidePx = Math.round((2 * radiusMm + 12) * pxPerMm);
  const rgb = new Uint8Array(3 * sidePx * sidePx);
  const middle = (sidePx - 1) / 2;
  for (let y = 0; y < sidePx; y++) {
    for (let x = 0; x < sidePx; x++) {
      const inside = radiusMm - Math.hypot(x - middle, y - middle) / pxPerMm;
      const cover = Math.max(0, Math.min(1, 0.5 + inside * pxPerMm));
      const rim = inside < 0 ? 1 : 1 - 0.7 * Math.exp(-((inside / 0.35) ** 2));
      const light = 235 * (1 - 0.08 * (x / sidePx));
      rgb.fill(
        Math.round(light * (1 - cover + cover * lets * rim)),
        3 * (y * sidePx + x),
        3 * (y * sidePx + x) + 3,
      );
    }
  }
  return { shardId: '17s1', widthPx: sidePx, heightPx: sidePx, rgb, pxPerMm };
}

describe('the outline out of a light-box picture', () => {
  it.each([[0.4], [0.75], [0.93]])(
    'is a disc of the drawn radius, glass letting %f through',
    (lets) => {
      const { ringMm } = findShard(discPicture(15, lets));
      // area of a circle
      const radiusMm = Math.sqrt(flatArea(ringMm) / Math.PI);
      expect(Math.abs(radiusMm - 15)).toBeLessThan(0.08);
    },
  );

  it.each([
    ['no-shard', () => ({ ...discPicture(15, 0.5), rgb: new Uint8Array(3 * 336 * 336).fill(230) })],
    ['too-small', () => discPicture(2, 0.5)],
    ['coarse', () => discPicture(15, 0.5, 3)],
  ] as const)('refuses with the reason: %s', (fault, picture) => {
    expect(() => findShard(picture())).toThrow(expect.objectContaining({ fault }));
  });

  it('refuses a shard that runs out of its picture', () => {
    const whole = discPicture(15, 0.5);
    const heightPx = 150;
    const cut = { ...whole, heightPx, rgb: whole.rgb.subarray(0, 3 * whole.widthPx * heightPx) };
    expect(() => findShard(cut)).toThrow(expect.objectContaining({ fault: 'cut-off' }));
  });
});

const SOME = ['s01', 's09', 's10', 's11', 's12'];

describe('the bundled tray', () => {
  let shards: Shard[];
  let free: Assembly;
  beforeAll(async () => {
    const input = JSON.parse(readFileSync(join(folder, 'input.json'), 'utf8')) as {
      shards: { id: string; image: string; px_per_mm: number }[];
    };
    shards = [];
    // five that hang together by the truth's adjacency; the whole tray is assembled in test/cli
    const some = input.shards.filter((s) => SOME.includes(s.id));
    for (const { id, image, px_per_mm: pxPerMm } of some) {
      const { data, info } = await sharp(join(folder, image))
        .removeAlpha()
        .raw()
        .toBuffer({ resolveWithObject: true });
      shards.push(
        readShard({ shardId: id, widthPx: info.width, heightPx: info.height, rgb: data, pxPerMm }),
      );
    }
    free = proposeAssembly(shards);
  }, 120_000);

  it('gives the same answer for the same pictures', () => {
    expect(proposeAssembly(shards)).toEqual(free);
  }, 60_000);

  it('leaves a locked shard exactly where a person put it, and builds on it', () => {
    const pose = { side: 0, angleRad: 0.3, xMm: 40, yMm: -12 } as const;
    const assembly = proposeAssembly(shards, { locked: [{ shardId: 's11', pose }] });
    const locked = assembly.placed.find((p) => p.shardId === 's11')!;
    expect(locked.isLocked).toBe(true);
    expect(locked.pose.angleRad).toBeCloseTo(pose.angleRad, 3);
    expect(locked.pose.xMm).toBeCloseTo(pose.xMm, 2);
    expect(locked.pose.yMm).toBeCloseTo(pose.yMm, 2);
    expect(assembly.placed.map((p) => p.shardId).sort()).toEqual(
      free.placed.map((p) => p.shardId).sort(),
    );
    expect(assembly.placed.length).toBeGreaterThanOrEqual(4);
  }, 60_000);

  it('does not join two that a person said do not belong together', () => {
    // the longest true joint of the truth
    const assembly = proposeAssembly(shards, { apart: [['s01', 's11']] });
    expect(assembly.joints.some((j) => j.a === 's01' && j.b === 's11' && j.nats > 1)).toBe(false);
  }, 60_000);

  it('names a shard that is not in the tray', () => {
    expect(() => proposeAssembly(shards, { apart: [['s01', 's99']] })).toThrow(
      /s99 is not in this tray/,
    );
  });
});

describe('what is missing', () => {
  it('is the outline less the shards, slivers along joints left out', () => {
    const outline = [
      [0, 0],
      [100, 0],
      [100, 50],
      [0, 50],
    ] as const;
    const left = [
      [0, 0],
      [59.9, 0],
      [59.9, 50],
      [0, 50],
    ] as const;
    const right = [
      [60.1, 0],
      [100, 0],
      [100, 20],
      [60.1, 20],
    ] as const;
    const parts = missingParts([...outline], [[...left], [...right]], 0.2);
    expect(parts).toHaveLength(1);
    // 39.9 by 30 by hand, half the joint's opening taken as glass on two sides, corners rounded
    expect(Math.abs(parts[0]!.areaMm2 - 39.9 * 30)).toBeLessThan(20);
  });

  it('leaves out glass that lies amid what is missing', () => {
    const square = (from: number, to: number): [number, number][] => [
      [from, from],
      [to, from],
      [to, to],
      [from, to],
    ];
    const outline = square(0, 100);
    const parts = missingParts(outline, [square(30, 70)], 0.2);
    expect(parts).toHaveLength(1);
    expect(parts[0]!.ringsMm).toHaveLength(2);
    // 100² - 40² by hand, the same allowance as above
    expect(Math.abs(parts[0]!.areaMm2 - 8400)).toBeLessThan(40);
    expect(coveredShare(outline, parts)).toBeCloseTo(0.16, 2);
  });
});

describe('numerics', () => {
  it('finds the minimum cut of the example in Stoer and Wagner 1997, weight 4 (read from memory)', () => {
    const edges = [
      [1, 2, 2],
      [1, 5, 3],
      [2, 3, 3],
      [2, 5, 2],
      [2, 6, 2],
      [3, 4, 4],
      [3, 7, 2],
      [4, 7, 2],
      [4, 8, 2],
      [5, 6, 3],
      [6, 7, 1],
      [7, 8, 3],
    ] as const;
    const weights = Array.from({ length: 8 }, () => new Float64Array(8));
    for (const [a, b, w] of edges) weights[a - 1]![b - 1] = weights[b - 1]![a - 1] = w;
    const { weight, side } = minimumCut(weights);
    expect(weight).toBe(4);
    expect([2, 3, 6, 7, 0, 1, 4, 5].filter((i) => side.includes(i))).toHaveLength(4);
  });

  it('solves a positive definite system and refuses another', () => {
    // 4x + y = 1, x + 3y = 2: x = 1/11, y = 7/11, by hand
    const x = solvePositive(Float64Array.of(4, 1, 1, 3), Float64Array.of(1, 2))!;
    expect(x[0]).toBeCloseTo(1 / 11, 12);
    expect(x[1]).toBeCloseTo(7 / 11, 12);
    expect(solvePositive(Float64Array.of(1, 2, 2, 1), Float64Array.of(1, 1))).toBeNull();
  });
});

describe('shards as a hand laid them', () => {
  /** Corners of a square walked in half millimetres. */
  const square = (sideMm: number): number[] => {
    const n = 2 * sideMm;
    return Array.from({ length: 4 * n }, (_, i) => {
      const [edge, along] = [Math.floor(i / n), (i % n) / 2];
      const [x, y] = [
        [along, 0],
        [sideMm, along],
        [sideMm - along, sideMm],
        [0, sideMm - along],
      ][edge]!;
      return [x!, y!];
    }).flat();
  };
  const edge = shardEdge('17s1', square(20));
  const other = shardEdge('17s2', square(20));
  const at = (xMm: number, yMm = 0) => ({ side: 0 as const, angleRad: 0, xMm, yMm });
  const outline = [
    [0, 0],
    [60.4, 0],
    [60.4, 20],
    [0, 20],
  ] as const;

  it('tell the joint of two squares, and the third square that is missing', () => {
    const laid = [
      { edge, pose: at(0) },
      { edge: other, pose: at(20.2) },
    ];
    const told = tellLaid(laid, 0.2, outline);
    expect(told.overlaps).toEqual([]);
    expect(told.joints.map(({ a, b }) => [a, b])).toEqual([['17s1', '17s2']]);
    // the side of the square, less a step at each corner
    expect(Math.abs(told.joints[0]!.lengthMm - 20)).toBeLessThanOrEqual(1);
    // plane geometry: 20.2 x 20 of 60.4 x 20, less the half joint that counts as covered
    expect(told.missing).toHaveLength(1);
    expect(Math.abs(told.missing[0]!.areaMm2 - 400)).toBeLessThan(6);
    expect(told.coverageRatio).toBeCloseTo(2 / 3, 2);
  });

  it('turned over about its middle covers the same place', () => {
    const turned = { ...at(20), side: 1 as const };
    const told = tellLaid([{ edge, pose: turned }], 0.2, null);
    const same = tellLaid(
      [
        { edge, pose: turned },
        { edge: other, pose: at(0) },
      ],
      0.2,
      null,
    );
    expect(told).toEqual({ joints: [], overlaps: [], missing: [], coverageRatio: null });
    expect(same.overlaps).toHaveLength(1);
    expect(same.overlaps[0]!.areaMm2).toBeCloseTo(400, 0);
  });

  it('that lie apart have no joint, and over one another by a strip say how much', () => {
    expect(
      tellLaid(
        [
          { edge, pose: at(0) },
          { edge: other, pose: at(25) },
        ],
        0.2,
        null,
      ).joints,
    ).toEqual([]);
    const [strip] = tellLaid(
      [
        { edge, pose: at(0) },
        { edge: other, pose: at(18) },
      ],
      0.2,
      null,
    ).overlaps;
    expect(strip!.areaMm2).toBeCloseTo(40, 0);
  });
});
