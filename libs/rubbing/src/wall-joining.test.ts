/** Two pieces side by side in a ring of sure leads; only the wall between them differs. */
import type { LeadEvidence } from './lead-evidence.js';
import { joinWeakWalls } from './wall-joining.js';

const WIDTH = 100;
const HEIGHT = 60;
const RIM = 5;
const MIDDLE = 50;

/**
 * @param strength evidence for a centre line along the wall between the pieces
 * @param plainRows so many of its cells show a lead plainly
 */
function joined(strength: number, height = HEIGHT, plainRows = 0) {
  const n = WIDTH * height;
  const plane = () => ({ width: WIDTH, height, data: new Float32Array(n) });
  const [face, centre, outside] = [plane(), plane(), plane()];
  const labels = new Int32Array(n);
  for (let i = 0; i < n; i++) {
    const x = i % WIDTH;
    const y = Math.floor(i / WIDTH);
    const fromRim = Math.min(x, y, WIDTH - 1 - x, height - 1 - y) - RIM;
    labels[i] = fromRim < 0 ? 1 : x < MIDDLE ? 2 : 3;
    outside.data[i] = fromRim < 0 ? 1 : 0;
    if (fromRim === -1 || fromRim === 0) centre.data[i] = 0.9;
    else if (Math.abs(x - MIDDLE + 0.5) < 1) centre.data[i] = y < RIM + plainRows ? 0.6 : strength;
  }
  const evidence: LeadEvidence = { face, centre, outside, cellsPerMm: 2, originMm: [0, 0] };
  return joinWeakWalls(labels, 3, evidence);
}

it('keeps a wall with evidence for a lead, and has nothing to say of it', () => {
  expect(joined(0.6)).toMatchObject({ count: 3, faint: [] });
});

it('joins over a wall that is hardly a lead, and says where it was', () => {
  const { count, faint } = joined(0.25);
  expect(count).toBe(2);
  expect(faint).toHaveLength(1);
  const [{ x, y, length }] = faint as [{ x: number; y: number; length: number }];
  expect(Math.abs(x - MIDDLE)).toBeLessThan(2);
  expect(Math.abs(y - HEIGHT / 2)).toBeLessThan(2);
  expect(length).toBe(HEIGHT - 2 * RIM);
});

it('says nothing of a wall that is no lead, nor of the short one of a crossing', () => {
  expect(joined(0.05)).toMatchObject({ count: 2, faint: [] });
  expect(joined(0.25, 24)).toMatchObject({ count: 2, faint: [] });
});

it('draws a long faint wall where a stretch of it is plain, and only then', () => {
  expect(joined(0.25, 110, 15)).toMatchObject({ count: 3, faint: [] });
  expect(joined(0.25, 110)).toMatchObject({ count: 2 });
  expect(joined(0.05, 110, 15)).toMatchObject({ count: 2 });
});
