import { connectedComponents } from './components.js';
import { nearestLabel, squaredDistance } from './distance.js';
import { sequence } from './sequence.fixture.js';
import { watershed } from './watershed.js';

function mask(rows: readonly string[]): { data: Uint8Array; width: number; height: number } {
  return {
    data: Uint8Array.from(rows.join(''), (c) => (c === '#' ? 1 : 0)),
    width: rows[0]!.length,
    height: rows.length,
  };
}

describe('exact distance transform', () => {
  const width = 37;
  const height = 29;
  const next = sequence(7);
  const source = Uint8Array.from({ length: width * height }, () => (next() < 0.02 ? 1 : 0));
  const sites = [...source.keys()].filter((i) => source[i]);
  const squared = squaredDistance(source, width, height);

  test('equals the smallest distance to any source, searched one by one', () => {
    for (let i = 0; i < squared.length; i++) {
      const least = Math.min(
        ...sites.map(
          (j) =>
            ((i % width) - (j % width)) ** 2 + (Math.floor(i / width) - Math.floor(j / width)) ** 2,
        ),
      );
      expect(squared[i]).toBe(least);
    }
  });
  test('the nearest label belongs to a source at that distance', () => {
    const labels = new Int32Array(width * height);
    sites.forEach((j, k) => {
      labels[j] = k + 1;
    });
    const near = nearestLabel(labels, width, height);
    expect(near.squared).toEqual(squared);
    for (let i = 0; i < squared.length; i++) {
      const j = sites[near.labels[i]! - 1]!;
      const d =
        ((i % width) - (j % width)) ** 2 + (Math.floor(i / width) - Math.floor(j / width)) ** 2;
      expect(d).toBe(squared[i]);
    }
  });
  test('without a source every distance is infinite and no label is given', () => {
    expect(squaredDistance(new Uint8Array(6), 3, 2)).toEqual(new Float32Array(6).fill(Infinity));
    expect(nearestLabel(new Int32Array(6), 3, 2).labels).toEqual(new Int32Array(6));
  });
});

describe('connected components', () => {
  const { data, width, height } = mask(['#.#.#', '#.##.', '...#.', '##..#']);
  test('by sides: five', () => {
    expect(connectedComponents(data, width, height, 4).count).toBe(5);
  });
  test('by corners too: three, numbered in scan order', () => {
    const { labels, count } = connectedComponents(data, width, height, 8);
    expect(count).toBe(3);
    expect([...labels]).toEqual([1, 0, 2, 0, 2, 1, 0, 2, 2, 0, 0, 0, 0, 2, 0, 3, 3, 0, 0, 2]);
  });
});

describe('watershed', () => {
  test('two basins meet on the ridge between their seeds', () => {
    const width = 9;
    const landscape = Uint8Array.from(
      { length: width * 3 },
      (_, i) => [0, 10, 30, 90, 200, 80, 20, 10, 0][i % width]!,
    );
    const seeds = new Int32Array(width * 3);
    seeds[width] = 1;
    seeds[width + 8] = 2;
    const labels = watershed(landscape, seeds, width, 3);
    for (let y = 0; y < 3; y++) {
      expect([...labels.subarray(y * width, y * width + 4)]).toEqual([1, 1, 1, 1]);
      expect([...labels.subarray(y * width + 5, y * width + 9)]).toEqual([2, 2, 2, 2]);
    }
  });
  test('every pixel gets a label, each label stays in one piece', () => {
    const width = 40;
    const height = 30;
    const next = sequence(3);
    const landscape = Uint8Array.from({ length: width * height }, () => 255 * next());
    const seeds = new Int32Array(width * height);
    for (let k = 1; k <= 8; k++) seeds[Math.floor(next() * seeds.length)] = k;
    const labels = watershed(landscape, seeds, width, height);
    for (const k of new Set(seeds)) {
      if (k === 0) continue;
      const own = Uint8Array.from(labels, (l) => (l === k ? 1 : 0));
      expect(connectedComponents(own, width, height, 4).count).toBe(1);
    }
    expect(labels.every((l) => l > 0)).toBe(true);
  });
});
