/** The marks a person draws on the sheet so that it can be measured, and what is known about them. */

import { writing } from './handwriting.js';
import type { PanelNet } from './panel-net.js';
import { arc, distance, type Point } from './polyline.js';
import type { RandomStream } from './random-stream.js';

export type ControlKind = 'control_points' | 'sides_diagonals' | 'diagonals' | 'scale_bar';

export interface Control {
  /** As it stands in input.json. */
  known: Record<string, unknown>;
  /** Where a person clicks, panel mm, in order. */
  places: { name: string; mm: Point }[];
  /** Pen strokes in panel mm. */
  strokes: Point[][];
  /** True when the result's frame is free up to a turn and a shift. */
  freeFrame: boolean;
}

const round1 = (v: number): number => Math.round(v * 10) / 10;
/** A tape is read to half a millimetre, and not perfectly. */
const byTape = (random: RandomStream, mm: number): number =>
  Math.round((mm + 0.15 * random.normal()) * 2) / 2;

/** @param sides rectangle of the four outer corners A B C D, clockwise from top left, in panel mm. */
export function drawControl(
  random: RandomStream,
  kind: ControlKind,
  net: PanelNet,
  corners: readonly Point[],
): Control {
  if (kind === 'scale_bar') return scaleBar(random, net);
  if (kind === 'sides_diagonals' || kind === 'diagonals') return cornerTicks(random, corners, kind);
  return crosses(random, net);
}

function crosses(random: RandomStream, net: PanelNet): Control {
  const [w, h] = net.sizeMm;
  const off = (): number => random.between(10, 23);
  const centres: Point[] = [
    [-off(), -off()],
    [w + off(), -off()],
    [w + off(), h + off()],
    [-off(), h + off()],
  ];
  const places = centres.map((p, i) => ({
    name: 'ABCD'[i]!,
    mm: [round1(p[0]), round1(p[1])] as Point,
  }));
  const strokes = places.flatMap(({ name, mm: [x, y] }) => {
    const reach = random.between(6.5, 8);
    const ring = random.between(3.6, 4.6);
    const turn = random.between(-0.03, 0.03);
    const arm = (t: number): Point[] => [
      [x - reach * Math.cos(t), y - reach * Math.sin(t)],
      [x + reach * Math.cos(t), y + reach * Math.sin(t)],
    ];
    const beside: Point = [x + random.between(7, 10), y + random.between(-7, 5)];
    return [
      arm(turn),
      arm(turn + Math.PI / 2),
      arc([x, y], ring, 0, 2 * Math.PI, 0.8),
      ...writing(name, beside, 6),
    ];
  });
  return {
    known: { kind: 'control_points', points: places.map(({ name, mm }) => ({ name, mm })) },
    places,
    strokes,
    freeFrame: false,
  };
}

function cornerTicks(
  random: RandomStream,
  corners: readonly Point[],
  kind: 'sides_diagonals' | 'diagonals',
): Control {
  const places = corners.map((mm, i) => ({ name: 'ABCD'[i]!, mm }));
  const strokes = places.flatMap(({ name, mm }, i) => {
    const before = corners[(i + 3) % 4]!;
    const after = corners[(i + 1) % 4]!;
    const outwards = (from: Point): Point[] => {
      const d = distance(from, mm);
      const u: Point = [(mm[0] - from[0]) / d, (mm[1] - from[1]) / d];
      return [mm, [mm[0] + 9 * u[0], mm[1] + 9 * u[1]]];
    };
    const sx = i === 0 || i === 3 ? -14 : 9;
    const sy = i < 2 ? -13 : 8;
    return [outwards(before), outwards(after), ...writing(name, [mm[0] + sx, mm[1] + sy], 5)];
  });
  const between = (i: number, j: number): number =>
    byTape(random, distance(corners[i]!, corners[j]!));
  const sides = {
    AB_mm: between(0, 1),
    BC_mm: between(1, 2),
    CD_mm: between(2, 3),
    DA_mm: between(3, 0),
  };
  const diagonals = { AC_mm: between(0, 2), BD_mm: between(1, 3) };
  return {
    known: { kind, ...(kind === 'diagonals' ? {} : sides), ...diagonals },
    places,
    strokes,
    freeFrame: true,
  };
}

function scaleBar(random: RandomStream, net: PanelNet): Control {
  const length = random.pick([150, 200, 200]);
  const x = random.between(10, Math.max(12, net.sizeMm[0] - length - 10));
  const y = net.sizeMm[1] + random.between(12, 18);
  const strokes: Point[][] = [
    [
      [x, y],
      [x + length, y],
    ],
  ];
  for (let t = 0; t <= length; t += 10) {
    const reach = t % 50 === 0 ? 3.5 : 2;
    strokes.push([
      [x + t, y - reach],
      [x + t, y + reach],
    ]);
  }
  strokes.push(...writing(`${length} mm`, [x + length / 2 - 10, y + 6], 5));
  return {
    known: { kind: 'scale_bar', length_mm: length },
    places: [
      { name: 'from', mm: [x, y] },
      { name: 'to', mm: [x + length, y] },
    ],
    strokes,
    freeFrame: true,
  };
}
