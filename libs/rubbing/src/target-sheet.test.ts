import { calibrateLens, lensFromCalibration } from './calibrate-lens.js';
import { flatten } from './flatten.js';
import { imageXyPx } from './flattening.js';
import { greyOf } from './grey-image.js';
import { invertHomography, project } from './homography.js';
import { largestRoom } from './largest-room.js';
import { distort, lensOf, undistort } from './lens.js';
import { RubbingError } from './rubbing-error.js';
import { readTag, TAG_FAMILY } from './tag-family.js';
import { findTags } from './tag-finder.js';
import { tagCornersMm, targetLayout } from './target-layout.js';
import { type LaidStrip, targetPicture } from './target-picture.fixture.js';

// A camera that is known: 2.1 px to the millimetre, the sheet tilted by about 6°, k1 = -0.02.
const CAMERA = [2.1, 0.02, 150, -0.02, 2.09, 165, 4e-5, 9e-5, 1];
const SIZE = { widthPx: 1000, heightPx: 1240 };
const K1 = -0.02;
const LENS = lensOf(SIZE, K1);
/** A panel of 300 × 400 mm with a strip along each side, none of them parallel to it. */
const LAID: readonly LaidStrip[] = [
  { paper: 'A4', index: 0, xMm: 15, yMm: -48, turn: 0.012 },
  { paper: 'A4', index: 1, xMm: 12, yMm: 416, turn: -0.02 },
  { paper: 'A4', index: 2, xMm: -12, yMm: 60, turn: Math.PI / 2 + 0.015 },
  { paper: 'A4', index: 3, xMm: 315, yMm: 330, turn: -Math.PI / 2 - 0.01 },
];

function picture(options: { strips?: readonly LaidStrip[]; printScale?: number } = {}) {
  return targetPicture({
    ...SIZE,
    imageFromPlane: CAMERA,
    k1: K1,
    strips: options.strips ?? LAID,
    paperMm: [-55, -55, 355, 455],
    ...(options.printScale === undefined ? {} : { printScale: options.printScale }),
  });
}

const whole = picture();

/** Largest error of a length between places of the panel, by the known camera. */
function worstLengthMm(f: ReturnType<typeof flatten>): number {
  const back = invertHomography(f.imageFromPanel);
  const found = ([x, y]: readonly [number, number]): [number, number] =>
    project(back, ...undistort(f.lens, ...distort(LENS, ...project(CAMERA, x, y))));
  const places = [
    [0, 0],
    [300, 0],
    [300, 400],
    [0, 400],
    [150, 200],
    [40, 330],
  ] as const;
  let worst = 0;
  for (const p of places) {
    for (const q of places) {
      const [a, b] = [found(p), found(q)];
      const mm = Math.hypot(a[0] - b[0], a[1] - b[1]);
      worst = Math.max(worst, Math.abs(mm - Math.hypot(p[0] - q[0], p[1] - q[1])));
    }
  }
  return worst;
}

function refusal(work: () => unknown): RubbingError {
  try {
    work();
  } catch (error) {
    if (error instanceof RubbingError) return error;
    throw error;
  }
  throw new Error('expected a refusal');
}

describe('tags', () => {
  test('any two are eleven cells apart in every turn, as the family promises (Olson 2011)', () => {
    const turned = (cells: Uint8Array): Uint8Array =>
      cells.map((_, k) => cells[(k % 6) * 6 + 5 - Math.floor(k / 6)]!);
    let least = 36;
    for (let i = 0; i < TAG_FAMILY.length; i++) {
      for (let j = i; j < TAG_FAMILY.length; j++) {
        let other = TAG_FAMILY[j]!;
        for (let turn = 0; turn < 4; turn++) {
          if (i !== j || turn > 0) {
            const apart = TAG_FAMILY[i]!.reduce((s, v, k) => s + (v === other[k] ? 0 : 1), 0);
            least = Math.min(least, apart);
          }
          other = turned(other);
        }
      }
    }
    expect(least).toBe(11);
  });
  test('the first tag is the published word d5d628584', () => {
    const bits = [...TAG_FAMILY[0]!].join('');
    expect(Number.parseInt(bits, 2)).toBe(0xd5d628584);
  });
  test('three wrong cells are forgiven, six are no tag', () => {
    const wrong = (count: number): Uint8Array =>
      TAG_FAMILY[40]!.map((v, k) => (k < count ? 1 - v : v));
    expect(readTag(wrong(3))?.id).toBe(40);
    expect(readTag(wrong(6))).toBeUndefined();
  });
  test('all 28 are found in the picture, corners within a quarter of a pixel', () => {
    const tags = findTags(greyOf(whole));
    expect(tags.map((t) => t.id)).toEqual(Array.from({ length: 28 }, (_, k) => k));
    const errors = LAID.flatMap(({ index, xMm, yMm, turn }) =>
      targetLayout('A4').strips[index]!.tags.flatMap((tag) => {
        const { cornersPx } = tags.find((t) => t.id === tag.id)!;
        return tagCornersMm(tag).map(([x, y], k) => {
          const px = Math.cos(turn) * x - Math.sin(turn) * y + xMm;
          const py = Math.sin(turn) * x + Math.cos(turn) * y + yMm;
          const [u, v] = distort(LENS, ...project(CAMERA, px, py));
          return Math.hypot(u - cornersPx[2 * k]!, v - cornersPx[2 * k + 1]!);
        });
      }),
    ).sort((a, b) => a - b);
    expect(errors[Math.floor(0.95 * errors.length)]).toBeLessThan(0.25);
  });
});

describe('flattening by the target sheet', () => {
  const found = flatten(
    { image: whole, control: { kind: 'target_sheet' }, taps: [] },
    greyOf(whole),
  );

  test('lengths on the panel come out within 0.2 mm without a tap', () => {
    expect(worstLengthMm(found)).toBeLessThan(0.2);
  });
  test('the lens is found from the strips and said', () => {
    expect(Math.abs(found.report.lens!.k1 - K1)).toBeLessThan(0.004);
    expect(found.report.lens!.source).toBe('28 tags on 4 strips');
    expect(found.report.marks.map((m) => m.name)).toEqual(['A4-1', 'A4-2', 'A4-3', 'A4-4']);
  });
  test('what is worth looking at lies between the strips and holds the panel', () => {
    const [x0, y0, x1, y1] = found.extentMm;
    // A strip is 272 × 34 mm; the gap between the strips is 327 mm wide and 430 mm high.
    expect(x1 - x0).toBeGreaterThan(300);
    expect(x1 - x0).toBeLessThan(330);
    expect(y1 - y0).toBeGreaterThan(400);
    expect(y1 - y0).toBeLessThan(434);
    for (const [x, y] of [
      [x0, y0],
      [x1, y1],
    ] as const) {
      const [u, v] = imageXyPx(found, x, y);
      expect(u > 0 && v > 0 && u < SIZE.widthPx && v < SIZE.heightPx).toBe(true);
    }
  });
  test('strips are found in a negative as well, as light wax on dark paper is read', () => {
    const { width, height, data } = greyOf(whole);
    const negative = { width, height, data: data.map((v) => 255 - v) };
    const f = flatten({ image: whole, control: { kind: 'target_sheet' }, taps: [] }, negative);
    expect(worstLengthMm(f)).toBeLessThan(0.2);
  });
  test('a print that came out 3 % small is put right by its measured ruler', () => {
    const image = picture({ printScale: 0.97 });
    const ruler = targetLayout('A4').rulerMm * 0.97;
    const f = flatten(
      { image, control: { kind: 'target_sheet', ruler_mm: ruler }, taps: [] },
      greyOf(image),
    );
    expect(worstLengthMm(f)).toBeLessThan(0.3);
    const error = refusal(() =>
      flatten({ image, control: { kind: 'target_sheet', ruler_mm: 125 }, taps: [] }, greyOf(image)),
    );
    expect(error.message).toContain('250 mm long at 1:1, 125 mm was entered');
  });
  test('no strip, one strip and strips of another sheet are refused in words', () => {
    const bare = picture({ strips: [] });
    const control = { kind: 'target_sheet' } as const;
    expect(
      refusal(() => flatten({ image: bare, control, taps: [] }, greyOf(bare))).message,
    ).toMatch(/No strip of the target sheet/);
    const one = picture({ strips: LAID.slice(0, 1) });
    expect(refusal(() => flatten({ image: one, control, taps: [] }, greyOf(one))).message).toMatch(
      /Only 7 tags on 1 strip/,
    );
    const other = { kind: 'target_sheet', sheet: 'A3' } as const;
    expect(
      refusal(() => flatten({ image: whole, control: other, taps: [] }, greyOf(whole))).message,
    ).toMatch(/of the A4 sheet, not of A3/);
  });
  test('a strip that lies in another plane is named', () => {
    // a picture of the third strip twice as far away: half as large beside its neighbours
    const image = picture();
    const lifted = targetPicture({
      ...SIZE,
      imageFromPlane: CAMERA,
      k1: K1,
      strips: [LAID[0]!, LAID[1]!, LAID[3]!],
      paperMm: [-55, -55, 355, 455],
    });
    const small = targetPicture({
      ...SIZE,
      imageFromPlane: [1.9, 0.02, 150, -0.02, 1.6, 265, 4e-5, 9e-5, 1],
      k1: K1,
      strips: [LAID[2]!],
      paperMm: [-55, -55, 355, 455],
    });
    // the left fifth of the picture from the one, the rest from the other
    for (let y = 0; y < SIZE.heightPx; y++) {
      const at = y * SIZE.widthPx * 3;
      image.rgb.set(lifted.rgb.subarray(at, at + SIZE.widthPx * 3), at);
      image.rgb.set(small.rgb.subarray(at, at + 130 * 3), at);
    }
    const error = refusal(() =>
      flatten({ image, control: { kind: 'target_sheet' }, taps: [] }, greyOf(image)),
    );
    expect(error.message).toMatch(/Strip A4-3 .* does not lie in one plane/);
  });
});

describe('calibrating a lens', () => {
  const layout = targetLayout('A4');
  const frame = { widthPx: 1240, heightPx: 930 };
  const sheet = (scale: number): ReturnType<typeof targetPicture> =>
    targetPicture({
      ...frame,
      // the sheet in the middle of the frame, seen a little from the side
      imageFromPlane: [
        scale,
        0.01,
        620 - 148 * scale,
        -0.01,
        scale * 0.99,
        465 - 98 * scale,
        3e-5,
        -5e-5,
        1,
      ],
      k1: 0.03,
      strips: layout.strips.map((strip, index): LaidStrip => {
        return { paper: 'A4', index, xMm: strip.leftMm, yMm: strip.topMm, turn: 0 };
      }),
      paperMm: [0, 0, 297, 210],
    });
  const image = sheet(4.2);
  const calibration = calibrateLens(image);

  test('the uncut sheet that fills the frame gives the lens that made the picture', () => {
    const { k1, k2 } = calibration;
    // k1 and k2 share the work: what they do together at seven tenths of the way to the corner
    const q = 0.49;
    expect(Math.abs(k1 * q + k2 * q * q - 0.03 * q)).toBeLessThan(0.0005);
    expect(calibration.sigmaK1).toBeLessThan(0.01);
    expect(calibration.tags).toBe(28);
    expect(calibration.rmsPx).toBeLessThan(0.35);
  });
  test('it is used for pictures of the same proportions, upright or lying', () => {
    expect(lensFromCalibration(calibration, { widthPx: 3000, heightPx: 4000 }, 'x')?.k1).toBe(
      calibration.k1,
    );
    expect(
      lensFromCalibration(calibration, { widthPx: 4000, heightPx: 2250 }, 'x'),
    ).toBeUndefined();
  });
  test('a sheet that is small in the picture is refused with what to do', () => {
    const error = refusal(() => calibrateLens(sheet(2.4)));
    expect(error.message).toMatch(/fills too little .* come nearer/);
  });
  test('a picture without the sheet is refused', () => {
    const error = refusal(() => calibrateLens(picture({ strips: [] })));
    expect(error.message).toContain('0 tags');
  });
});

describe('largestRoom', () => {
  test('the free middle of a ring', () => {
    // 1 taken: a ring two cells off the border of 10 × 8, gap of 6 × 4 inside, one column free outside
    const taken = new Uint8Array(80);
    for (let y = 1; y < 7; y++) {
      for (let x = 1; x < 9; x++)
        if (y === 1 || y === 6 || x === 1 || x === 8) taken[y * 10 + x] = 1;
    }
    expect(largestRoom(taken, 10, 8)).toEqual([2, 2, 8, 6]);
    expect(largestRoom(new Uint8Array(12).fill(1), 4, 3)).toBeUndefined();
  });
});
