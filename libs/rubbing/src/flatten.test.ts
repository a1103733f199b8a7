import { flatten } from './flatten.js';
import { imageXyPx } from './flattening.js';
import { greyOf } from './grey-image.js';
import { distort, lensOf, undistort } from './lens.js';
import { outerCameSource } from './lens-sources.js';
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
  /** A rectangle of one grey on another, seen through a lens. */
  function bowed(
    [widthPx, heightPx]: readonly [number, number],
    k1: number,
    inset: number,
    [inner, outer]: readonly [number, number],
  ): RubbingImage {
    const image = { widthPx, heightPx, rgb: new Uint8Array(widthPx * heightPx * 3) };
    const lens = lensOf(image, k1);
    for (let y = 0; y < image.heightPx; y++) {
      for (let x = 0; x < image.widthPx; x++) {
        const [u, v] = undistort(lens, x, y);
        const inside = Math.min(
          u - inset,
          widthPx - 1 - inset - u,
          v - inset,
          heightPx - 1 - inset - v,
        );
        const cover = Math.max(0, Math.min(1, inside + 0.5));
        const at = (y * image.widthPx + x) * 3;
        image.rgb.fill(outer + (inner - outer) * cover, at, at + 3);
      }
    }
    return image;
  }
  const quadAt = ([w, h]: readonly [number, number], i: number): Float64Array =>
    Float64Array.of(i, i, w - 1 - i, i, w - 1 - i, h - 1 - i, i, h - 1 - i);
  const large = [1000, 1300] as const;
  const small = [520, 680] as const;

  test('k1 comes back from a drawn sheet whose edges the lens bows', () => {
    const found = lensFromPaperEdges(bowed(large, 0.012, 75, [220, 60]), quadAt(large, 140))!;
    expect(found.edges).toBe(4);
    expect(Math.abs(found.lens.k1 - 0.012)).toBeLessThan(0.0006);
  });
  test('outer cames tell of a strongly bent lens where no paper edge is seen, and of no other', () => {
    const strong = outerCameSource(bowed(small, 0.06, 60, [70, 220]), quadAt(small, 45), 0)!;
    expect(Math.abs(strong.k1 - 0.06)).toBeLessThan(0.006);
    expect(strong.said).toContain('bow by themselves');
    expect(
      outerCameSource(bowed(small, 0.004, 60, [70, 220]), quadAt(small, 45), 0),
    ).toBeUndefined();
  });
  test('a photograph whose lens nothing tells of says what that may cost', () => {
    const photo = sheetImage(780, 960, px, pxPerMm);
    const { report } = flatten({ image: photo, control, taps: px.map(near) }, greyOf(photo));
    expect(report.lens).toBeNull();
    expect(report.lensDoubt!.midSheetMm).toBeGreaterThan(0.1);
    expect(report.lensDoubt!.sentence).toContain('calibrate this phone once');
  });
  test('a calibration is used where the picture says nothing, and named', () => {
    const photo: RubbingImage = {
      ...sheetImage(780, 960, px, pxPerMm),
      lens: { k1: -0.013, sigmaK1: 0.0005, source: 'a calibration of 3 May' },
    };
    const { report } = flatten({ image: photo, control, taps: px.map(near) }, greyOf(photo));
    expect(report.lens!.k1).toBeCloseTo(-0.013, 3);
    expect(report.lens!.source).toBe('a calibration of 3 May');
  });
});

describe('taps in another order', () => {
  const photo = sheetImage(780, 960, px, pxPerMm);
  const swapped = (order: readonly number[]): RubbingSheet => ({
    image: photo,
    control,
    taps: order.map((k) => near(px[k]!)),
  });
  test('two that look swapped are named', () => {
    expect(faultOf(swapped([0, 2, 1, 3])).message).toContain('B and C look swapped');
    expect(faultOf(swapped([1, 0, 2, 3])).message).toContain('A and B look swapped');
  });
  test('going round the wrong way is told', () => {
    expect(faultOf(swapped([0, 3, 2, 1])).message).toContain('B and D look swapped');
  });
  test('beginning at another corner is told by the shape of the panel', () => {
    const error = faultOf(swapped([1, 2, 3, 0]));
    expect(error.fault).toBe('marks-disagree');
    expect(error.message).toContain('in the order B, C, D, A');
  });
  test('six distances tell it as well', () => {
    const d = (i: number, j: number): number =>
      Math.hypot(mm[i]![0] - mm[j]![0], mm[i]![1] - mm[j]![1]);
    const byTape: RubbingControl = {
      kind: 'sides_diagonals',
      AB_mm: d(0, 1),
      BC_mm: d(1, 2),
      CD_mm: d(2, 3),
      DA_mm: d(3, 0),
      AC_mm: d(0, 2),
      BD_mm: d(1, 3),
    };
    const error = faultOf({ ...swapped([0, 1, 3, 2]), control: byTape });
    expect(error.message).toContain('C and D look swapped');
  });
});

describe('distances between five crosses', () => {
  const five: [number, number][] = [...mm, [74, -11]];
  const at = five.map(([x, y]): [number, number] => [60.3 + x * pxPerMm, 61.7 + y * pxPerMm]);
  const photo = sheetImage(780, 960, at, pxPerMm);
  const names = ['A', 'B', 'C', 'D', 'E'];
  const pairs = ['AB', 'BC', 'CD', 'DA', 'AC', 'BD', 'AE', 'EB', 'EC', 'ED'];
  const measured = (pair: string): number => {
    const [p, q] = pair.split('').map((n) => five[names.indexOf(n)]!) as [
      [number, number],
      [number, number],
    ];
    // a tape shows halves of a millimetre
    return Math.round(2 * Math.hypot(p[0] - q[0], p[1] - q[1])) / 2;
  };
  const byTape: RubbingControl = {
    kind: 'distances',
    marks: names,
    distances: pairs.map((pair) => ({ from: pair[0]!, to: pair[1]!, mm: measured(pair) })),
  };
  const found = flatten({ image: photo, control: byTape, taps: at.map(near) }, greyOf(photo));

  test('lengths on the sheet come out within the tape', () => {
    for (const [i, j] of [
      [0, 2],
      [1, 3],
      [4, 2],
    ] as const) {
      const [p, q] = [found.marks[i]!.panelXyMm, found.marks[j]!.panelXyMm];
      const truth = Math.hypot(five[i]![0] - five[j]![0], five[i]![1] - five[j]![1]);
      expect(Math.abs(Math.hypot(p[0] - q[0], p[1] - q[1]) - truth)).toBeLessThan(0.3);
    }
    expect(found.report.marks.every((m) => m.figure === 'cross')).toBe(true);
  });
  test('each distance stands in the report beside what was measured, with the spare ones counted', () => {
    const { report } = found;
    expect(report.distances).toHaveLength(10);
    expect(report.distances!.every((d) => Math.abs(d.differenceMm) < 0.5)).toBe(true);
    // ten distances less the five that a map needs
    expect(report.spareMeasurements).toBe(5);
    expect(report.scale!.plusMinusMm).toBeGreaterThan(0.1);
    expect(report.scale!.plusMinusMm).toBeLessThan(0.6);
  });
});

describe('scanner', () => {
  const image = sheetImage(780, 960, [], pxPerMm, 101.6);
  test('the resolution alone gives the scale, and that nothing was measured is said', () => {
    const f = flatten({ image, control: { kind: 'scanner' }, taps: [] }, greyOf(image));
    const [ax] = imageXyPx(f, 0, 0);
    const [bx] = imageXyPx(f, 100, 0);
    // 101.6 dots an inch of 25.4 mm are 4 to the millimetre
    expect(bx - ax).toBeCloseTo(400, 9);
    expect(f.report.notes!.join(' ')).toContain('Nothing on the sheet was measured');
  });
  test('a scan without a resolution is refused with what to enter', () => {
    const { widthPx, heightPx, rgb } = image;
    const error = faultOf({
      image: { widthPx, heightPx, rgb },
      control: { kind: 'scanner' },
      taps: [],
    });
    expect(error.message).toContain('enter the dpi');
  });
});
