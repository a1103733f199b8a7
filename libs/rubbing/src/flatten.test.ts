import { flatten, imageXyPx } from './flatten.js';
import { greyOf } from './grey-image.js';
import { distort, lensOf, undistort } from './lens.js';
import { markCentre } from './mark-centre.js';
import { lensFromPaperEdges } from './paper-edges.js';
import { rectify } from './rectify.js';
import { RubbingError } from './rubbing-error.js';
import type { RubbingControl, RubbingImage, RubbingSheet } from './sheet.js';

/** White paper with crosses (arms 5 mm, 0.8 mm thick) at the given pixels. */
function sheetImage(
  widthPx: number,
  heightPx: number,
  crosses: readonly (readonly [number, number])[],
  pxPerMm: number,
  dpi?: number,
): RubbingImage {
  const rgb = new Uint8Array(widthPx * heightPx * 3).fill(235);
  const arm = 5 * pxPerMm;
  const half = 0.4 * pxPerMm;
  for (const [cx, cy] of crosses) {
    for (let y = Math.floor(cy - arm - 2); y <= cy + arm + 2; y++) {
      for (let x = Math.floor(cx - arm - 2); x <= cx + arm + 2; x++) {
        // share of the pixel covered, edges ramped over one pixel
        const bar = (across: number, along: number): number =>
          Math.max(0, Math.min(1, half + 0.5 - Math.abs(across))) *
          Math.max(0, Math.min(1, arm + 0.5 - Math.abs(along)));
        const cover = Math.max(bar(x - cx, y - cy), bar(y - cy, x - cx));
        if (cover > 0)
          rgb.fill(235 - 200 * cover, (y * widthPx + x) * 3, (y * widthPx + x) * 3 + 3);
      }
    }
  }
  return { widthPx, heightPx, rgb, ...(dpi === undefined ? {} : { dpi }) };
}

const pxPerMm = 4;
const mm: [number, number][] = [
  [-10, -10],
  [160, -12],
  [158, 210],
  [-9, 208],
];
const px = mm.map(([x, y]): [number, number] => [60.3 + x * pxPerMm, 61.7 + y * pxPerMm]);
const control: RubbingControl = {
  kind: 'control_points',
  points: mm.map((p, k) => ({ name: 'ABCD'[k]!, mm: p })),
};
const near = (p: readonly [number, number]): [number, number] => [p[0] + 1.6, p[1] - 1.9];

function faultOf(sheet: RubbingSheet): RubbingError {
  try {
    flatten(sheet, greyOf(sheet.image));
  } catch (error) {
    if (error instanceof RubbingError) return error;
    throw error;
  }
  throw new Error('expected a refusal');
}

describe('finding marks', () => {
  test('a cross is found to a tenth of a pixel from a tap two pixels off', () => {
    const image = sheetImage(200, 200, [[97.37, 102.81]], pxPerMm);
    const [x, y] = markCentre(greyOf(image), 99, 101, pxPerMm)!;
    expect(Math.hypot(x - 97.37, y - 102.81)).toBeLessThan(0.1);
  });
  test('bare paper has no mark', () => {
    expect(markCentre(greyOf(sheetImage(200, 200, [], pxPerMm)), 99, 101, pxPerMm)).toBeUndefined();
  });
});

describe('flattening', () => {
  const image = sheetImage(780, 960, px, pxPerMm, 101.6);

  test('places on the sheet land within 0.05 mm', () => {
    const found = flatten({ image, control, taps: px.map(near) }, greyOf(image));
    for (const [x, y] of [
      [0, 0],
      [75, 100],
      [150, 200],
    ] as const) {
      const [u, v] = imageXyPx(found, x, y);
      expect(Math.hypot(u - (60.3 + x * pxPerMm), v - (61.7 + y * pxPerMm)) / pxPerMm).toBeLessThan(
        0.05,
      );
    }
    expect(found.report.rmsMm).toBeLessThan(0.1);
    expect(found.report.lens).toBeNull();
  });
  test('a mark measured 6 mm wrong is named on a scan', () => {
    const wrong: RubbingControl = {
      kind: 'control_points',
      points: control.points.map((p) =>
        p.name === 'C' ? { name: 'C', mm: [164, 210] as const } : p,
      ),
    };
    const error = faultOf({ image, control: wrong, taps: px.map(near) });
    expect(error.fault).toBe('marks-disagree');
    expect(error.members['mark']).toBe('C');
    expect(error.message).toContain('Mark C');
  });
  test('three marks are too few, and the sentence says how many came', () => {
    const error = faultOf({ image, control, taps: px.slice(0, 3) });
    expect(error.fault).toBe('marks-too-few');
    expect(error.message).toContain('4 marks');
  });
  test('two taps on one mark are refused by name', () => {
    const error = faultOf({ image, control, taps: [px[0]!, px[0]!, px[2]!, px[3]!] });
    expect(error.fault).toBe('marks-coincident');
    expect(error.members).toEqual({ first: 'A', second: 'B' });
  });
  test('three marks on one line are refused by name', () => {
    const error = faultOf({ image, control, taps: [px[0]!, [350, 20], [680, 18], px[3]!] });
    expect(error.fault).toBe('marks-collinear');
    expect(error.members['marks']).toBe('A, B, C');
  });
  test('a tap on bare paper names its mark', () => {
    const error = faultOf({ image, control, taps: [[390, 480], px[1]!, px[2]!, px[3]!] });
    expect(error.fault).toBe('mark-not-found');
    expect(error.members['mark']).toBe('A');
  });
  test('a picture that is too coarse says its pixels to the millimetre', () => {
    const small = sheetImage(
      310,
      380,
      px.map(([x, y]) => [x / 2.7, y / 2.7]),
      pxPerMm / 2.7,
    );
    const grey = greyOf(small);
    const found = flatten(
      { image: small, control, taps: px.map(([x, y]) => [x / 2.7, y / 2.7]) },
      grey,
    );
    expect(() => rectify(grey, found)).toThrow(/1\.5 pixels to the millimetre; 1\.8 are needed/);
  });
});

describe('other ways to give the scale', () => {
  test('a scale bar that contradicts the scan is refused with both resolutions', () => {
    const image = sheetImage(780, 960, [], pxPerMm, 150);
    const error = faultOf({
      image,
      control: { kind: 'scale_bar', length_mm: 100 },
      taps: [
        [100, 900],
        [500, 900],
      ],
    });
    expect(error.fault).toBe('marks-disagree');
    expect(error.message).toContain('102 dpi');
    expect(error.message).toContain('150 dpi');
  });
});

describe('lens', () => {
  test('undistorting takes distortion back', () => {
    const lens = lensOf({ widthPx: 3000, heightPx: 4000 }, -0.04);
    const [u, v] = distort(lens, 2800, 200);
    const [x, y] = undistort(lens, u, v);
    expect(Math.hypot(u - 2800, v - 200)).toBeGreaterThan(20);
    expect(Math.hypot(x - 2800, y - 200)).toBeLessThan(1e-6);
  });
  test('k1 comes back from a drawn sheet whose edges the lens bows', () => {
    const image = { widthPx: 1000, heightPx: 1300, rgb: new Uint8Array(1000 * 1300 * 3) };
    const lens = lensOf(image, 0.012);
    for (let y = 0; y < image.heightPx; y++) {
      for (let x = 0; x < image.widthPx; x++) {
        const [u, v] = undistort(lens, x, y);
        const inside = Math.min(u - 80, 930 - u, v - 75, 1230 - v);
        const cover = Math.max(0, Math.min(1, inside + 0.5));
        image.rgb.fill(60 + 160 * cover, (y * 1000 + x) * 3, (y * 1000 + x) * 3 + 3);
      }
    }
    const quad = [140, 135, 870, 135, 870, 1170, 140, 1170];
    const found = lensFromPaperEdges(image, quad)!;
    expect(found.edges).toBe(4);
    expect(Math.abs(found.lens.k1 - 0.012)).toBeLessThan(0.0006);
  });
});
