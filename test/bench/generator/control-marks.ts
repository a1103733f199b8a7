/** The marks a person draws on the sheet so that it can be measured, and what is known about them. */

import { writing } from './handwriting.js';
import type { PanelNet } from './panel-net.js';
import { arc, distance, type Point } from './polyline.js';
import { type LaidStrip, layStrips } from './printed-strips.js';
import type { RandomStream } from './random-stream.js';

export type ControlKind =
  | 'control_points'
  | 'sides_diagonals'
  | 'diagonals'
  | 'distances'
  | 'scale_bar'
  | 'scanner'
  | 'target_sheet';
export const CONTROL_KINDS: readonly ControlKind[] = [
  'control_points',
  'sides_diagonals',
  'diagonals',
  'distances',
  'scale_bar',
  'scanner',
  'target_sheet',
];

export interface Mark {
  name: string;
  /** Panel mm as the sheet shows them. */
  mm: Point;
}

export interface Control {
  /** Where a person clicks, in order. */
  places: Mark[];
  /** As it stands in input.json, for a picture that shows these marks. */
  known: (seen: readonly Mark[]) => Record<string, unknown>;
  /** Pen strokes in panel mm. */
  strokes: Point[][];
  /** Printed strips that lie on the sheet. */
  strips?: readonly LaidStrip[];
  /** True when the result's frame is free up to a turn and a shift. */
  freeFrame: boolean;
}

export interface ControlWish {
  kind: ControlKind;
  /** Standard deviation of what a person measured, mm. */
  noiseMm?: number | undefined;
  /** Marks at the middle of the long sides too, for sheets taken in two halves. */
  halves?: boolean;
  dpi?: number | undefined;
}

const round1 = (v: number): number => Math.round(v * 10) / 10;
const roundHalf = (v: number): number => Math.round(v * 2) / 2;
/** A tape is read to half a millimetre, and not perfectly. */
const READING_MM = 0.15;
const byTape = (random: RandomStream, mm: number, noiseMm = READING_MM): number =>
  roundHalf(mm + noiseMm * random.normal());

/**
 * @param net as the sheet shows it
 * @param corners rectangle of the four outer corners A B C D, clockwise from top left, in panel mm
 */
export function drawControl(
  random: RandomStream,
  wish: ControlWish,
  net: PanelNet,
  corners: readonly Point[],
): Control {
  switch (wish.kind) {
    case 'scale_bar':
      return scaleBar(random, net);
    case 'sides_diagonals':
    case 'diagonals':
      return cornerTicks(random, corners, wish.kind, wish.noiseMm);
    case 'scanner':
      return {
        places: [],
        known: () => ({ kind: 'scanner', dpi: wish.dpi }),
        strokes: [],
        freeFrame: true,
      };
    case 'target_sheet':
      return {
        places: [],
        known: () => ({ kind: 'target_sheet', sheet: 'A4' }),
        strokes: [],
        strips: layStrips(random, net.sizeMm),
        freeFrame: true,
      };
    case 'control_points':
    case 'distances':
      return crosses(random, net, wish);
  }
}

function crosses(random: RandomStream, net: PanelNet, wish: ControlWish): Control {
  const [w, h] = net.sizeMm;
  const off = (): number => random.between(10, 23);
  const centres: Point[] = [
    [-off(), -off()],
    [w + off(), -off()],
    [w + off(), h + off()],
    [-off(), h + off()],
  ];
  const more = random.branch('more');
  if (wish.halves) {
    centres.push([-more.between(10, 18), h * more.between(0.47, 0.53)]);
    centres.push([w + more.between(10, 18), h * more.between(0.47, 0.53)]);
  } else if (wish.kind === 'distances') {
    centres.push([w * more.between(0.7, 0.85), -more.between(12, 20)]);
    if (more.chance(0.5)) centres.push([-more.between(10, 18), h * more.between(0.3, 0.7)]);
  }
  const places = centres.map((p, i) => ({
    name: 'ABCDEF'[i]!,
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
  const { noiseMm } = wish;
  const tape = random.branch('tape');
  if (wish.kind === 'distances') {
    const read = new Map<string, number>();
    for (const [i, a] of places.entries()) {
      for (const b of places.slice(i + 1)) {
        read.set(`${a.name}${b.name}`, byTape(tape, distance(a.mm, b.mm), noiseMm));
      }
    }
    return {
      places,
      known: (seen) => ({
        kind: 'distances',
        marks: seen.map((m) => m.name),
        distances: seen.flatMap((a, i) =>
          seen.slice(i + 1).map((b) => ({
            from: a.name,
            to: b.name,
            mm: read.get(`${a.name}${b.name}`) ?? read.get(`${b.name}${a.name}`),
          })),
        ),
      }),
      strokes,
      freeFrame: true,
    };
  }
  const measured = new Map(
    places.map(({ name, mm: [x, y] }): [string, Point] => [
      name,
      noiseMm === undefined ? [x, y] : [byTape(tape, x, noiseMm), byTape(tape, y, noiseMm)],
    ]),
  );
  return {
    places,
    known: (seen) => ({
      kind: 'control_points',
      points: seen.map(({ name }) => ({ name, mm: measured.get(name) })),
    }),
    strokes,
    // Wrongly measured marks make a frame of their own: a turn and a shift are no fault of the drawing.
    freeFrame: noiseMm !== undefined,
  };
}

function cornerTicks(
  random: RandomStream,
  corners: readonly Point[],
  kind: 'sides_diagonals' | 'diagonals',
  noiseMm?: number,
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
    byTape(random, distance(corners[i]!, corners[j]!), noiseMm);
  const sides = {
    AB_mm: between(0, 1),
    BC_mm: between(1, 2),
    CD_mm: between(2, 3),
    DA_mm: between(3, 0),
  };
  const diagonals = { AC_mm: between(0, 2), BD_mm: between(1, 3) };
  return {
    known: () => ({ kind, ...(kind === 'diagonals' ? {} : sides), ...diagonals }),
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
    known: () => ({ kind: 'scale_bar', length_mm: length }),
    places: [
      { name: 'from', mm: [x, y] },
      { name: 'to', mm: [x + length, y] },
    ],
    strokes,
    freeFrame: true,
  };
}
