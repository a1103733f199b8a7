/** How panel mm come to lie in the picture: a plane seen by a lens with one radial term. */
import type { Point } from './polyline.js';
import type { Quality } from './quality.js';
import type { RandomStream } from './random-stream.js';
import type { Extent } from './sheet.js';

export type Matrix3 = readonly [
  readonly [number, number, number],
  readonly [number, number, number],
  readonly [number, number, number],
];

export interface Camera {
  /** Undistorted px = homography of mm. */
  imageFromPanel: Matrix3;
  panelFromImage: Matrix3;
  /** px = centre + (u - centre) (1 + k1 |u - centre|² / r0²) */
  k1: number;
  centre: Point;
  r0: number;
  widthPx: number;
  heightPx: number;
}

export function applyMatrix(m: Matrix3, [x, y]: Point): Point {
  const w = m[2][0] * x + m[2][1] * y + m[2][2];
  return [(m[0][0] * x + m[0][1] * y + m[0][2]) / w, (m[1][0] * x + m[1][1] * y + m[1][2]) / w];
}

export function projectToImage(camera: Camera, mm: Point): Point {
  const [ux, uy] = applyMatrix(camera.imageFromPanel, mm);
  const dx = ux - camera.centre[0];
  const dy = uy - camera.centre[1];
  const f = 1 + (camera.k1 * (dx * dx + dy * dy)) / camera.r0 ** 2;
  return [camera.centre[0] + dx * f, camera.centre[1] + dy * f];
}

/** Undoes the lens: fixed-point steps, error far below 0.001 px for |k1| < 0.05. */
export function undistort(camera: Camera, x: number, y: number): Point {
  const dx = x - camera.centre[0];
  const dy = y - camera.centre[1];
  let f = 1;
  const rr = (dx * dx + dy * dy) / camera.r0 ** 2;
  for (let i = 0; i < 6; i++) f = 1 / (1 + camera.k1 * rr * f * f);
  return [camera.centre[0] + dx * f, camera.centre[1] + dy * f];
}

/** @param sheet the part of the paper that fills the picture */
export function makeCamera(random: RandomStream, sheet: Extent, quality: Quality): Camera {
  const scale = random.between(...quality.pxPerMm);
  const toRad = Math.PI / 180;
  const turn = (quality.photograph ? 2.5 : 0.7) * toRad * random.between(-1, 1);
  const tiltX = quality.tiltDeg * toRad * random.between(-1, 1);
  const tiltY = quality.tiltDeg * toRad * random.between(-1, 1);
  const cx = sheet.leftMm + sheet.widthMm / 2;
  const cy = sheet.topMm + sheet.heightMm / 2;
  const away = 1.7 * Math.hypot(sheet.widthMm, sheet.heightMm);
  // Rotate in the plane, then about the x and y axes, then project from a distance.
  const c = Math.cos(turn);
  const s = Math.sin(turn);
  const rows: [number[], number[]] = [
    [c * Math.cos(tiltY), -s * Math.cos(tiltY)],
    [s * Math.cos(tiltX), c * Math.cos(tiltX)],
  ];
  const depth = [
    (c * Math.sin(tiltY) + s * Math.sin(tiltX)) / away,
    (-s * Math.sin(tiltY) + c * Math.sin(tiltX)) / away,
  ];
  const plain: Matrix3 = [
    [scale * rows[0][0]!, scale * rows[0][1]!, 0],
    [scale * rows[1][0]!, scale * rows[1][1]!, 0],
    [depth[0]!, depth[1]!, 1],
  ];
  const centred = multiply(plain, [
    [1, 0, -cx],
    [0, 1, -cy],
    [0, 0, 1],
  ]);
  const corners = [
    [0, 0],
    [1, 0],
    [1, 1],
    [0, 1],
  ].map(([u, v]) =>
    applyMatrix(centred, [sheet.leftMm + u! * sheet.widthMm, sheet.topMm + v! * sheet.heightMm]),
  );
  const room = (): number =>
    scale * (quality.photograph ? random.between(-1, 22) : random.between(0.5, 5));
  const x0 = Math.min(...corners.map((p) => p[0])) - room();
  const y0 = Math.min(...corners.map((p) => p[1])) - room();
  const widthPx = Math.round(Math.max(...corners.map((p) => p[0])) + room() - x0);
  const heightPx = Math.round(Math.max(...corners.map((p) => p[1])) + room() - y0);
  const moved = multiply(
    [
      [1, 0, -x0],
      [0, 1, -y0],
      [0, 0, 1],
    ],
    centred,
  );
  const imageFromPanel = moved.map((r) => r.map((v) => v / moved[2][2])) as unknown as Matrix3;
  const centre: Point = [(widthPx - 1) / 2, (heightPx - 1) / 2];
  return {
    imageFromPanel,
    panelFromImage: inverse(imageFromPanel),
    k1: quality.k1 * random.between(-1, 1),
    centre,
    r0: Math.hypot(...centre),
    widthPx,
    heightPx,
  };
}

function multiply(a: Matrix3, b: Matrix3): Matrix3 {
  return a.map((r) =>
    [0, 1, 2].map((k) => r[0] * b[0][k]! + r[1] * b[1][k]! + r[2] * b[2][k]!),
  ) as unknown as Matrix3;
}

function inverse(m: Matrix3): Matrix3 {
  const [[a, b, c], [d, e, f], [g, h, i]] = m;
  const det = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  return [
    [(e * i - f * h) / det, (c * h - b * i) / det, (b * f - c * e) / det],
    [(f * g - d * i) / det, (a * i - c * g) / det, (c * d - a * f) / det],
    [(d * h - e * g) / det, (b * g - a * h) / det, (a * e - b * d) / det],
  ];
}
