/** Joints of copper foil, 3 mm, beside an outer came of 12 mm: drawn by the test, so every line's place is known. */
import { leadEvidence } from './lead-evidence.js';

const PX_PER_MM = 4;
const SIDE_MM = 176;
const OUTER_MM = 20;
const LINES_MM = [56, 88, 120];

/** Wax on a grid of joints within a square of outer came, over paper with a little rubbed grain. */
function sheet(jointMm: number) {
  const side = SIDE_MM * PX_PER_MM;
  let state = 9;
  const data = new Float32Array(side * side);
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      const chance = state / 2 ** 32;
      const [u, v] = [(x + 0.5) / PX_PER_MM, (y + 0.5) / PX_PER_MM];
      const isIn = (w: number): boolean => w > OUTER_MM - 6 && w < SIDE_MM - OUTER_MM + 6;
      const rim = Math.min(u, v, SIDE_MM - u, SIDE_MM - v) - OUTER_MM;
      const isWax =
        Math.abs(rim) < 6 ||
        (isIn(u) &&
          isIn(v) &&
          LINES_MM.some((at) => Math.abs(u - at) < jointMm / 2 || Math.abs(v - at) < jointMm / 2));
      data[y * side + x] = isWax ? 0.25 + 0.6 * chance : 0.12 * chance;
    }
  }
  return { width: side, height: side, data };
}

function shareSeen(jointMm: number): { seen: number; outer: number; cellsPerMm: number } {
  const { centre, cellsPerMm, originMm } = leadEvidence(sheet(jointMm), PX_PER_MM, [0, 0]);
  const at = (x: number, y: number): number => {
    const u = Math.round((x - originMm[0]) * cellsPerMm);
    const v = Math.round((y - originMm[1]) * cellsPerMm);
    return centre.data[v * centre.width + u]!;
  };
  const best = (x: number, y: number): number =>
    Math.max(...[-0.5, 0, 0.5].flatMap((o) => [at(x + o, y), at(x, y + o)]));
  let seen = 0;
  let all = 0;
  let outer = 0;
  let rim = 0;
  for (let along = OUTER_MM + 10; along < SIDE_MM - OUTER_MM - 10; along += 2) {
    // away from crossings
    if (LINES_MM.every((line) => Math.abs(line - along) > 6)) {
      for (const line of LINES_MM) {
        all += 2;
        if (best(line, along) > 0.5) seen++;
        if (best(along, line) > 0.5) seen++;
      }
    }
    rim++;
    if (best(OUTER_MM, along) > 0.5) outer++;
  }
  return { seen: seen / all, outer: outer / rim, cellsPerMm };
}

it('sees joints of 3 mm and the outer came of 12 mm round them', () => {
  const { seen, outer, cellsPerMm } = shareSeen(3);
  expect(cellsPerMm).toBeGreaterThan(2);
  expect(seen).toBeGreaterThan(0.98);
  expect(outer).toBeGreaterThan(0.98);
});

it('looks at cames of 7 mm as they are', () => {
  const { seen, cellsPerMm } = shareSeen(7);
  expect(cellsPerMm).toBe(2);
  expect(seen).toBeGreaterThan(0.98);
});
