import type { Draft } from './draft.js';
import type { Flattening } from './flattening.js';
import { project } from './homography.js';
import { lensOf } from './lens.js';
import { panelFrame } from './panel-frame.js';
import { sheetPlacement } from './sheet-placement.js';

/** One lead from (30, 20) to (230, 20), face 10: the panel's outer corner lies at (25…, 15) of the sheet's frame. */
const draft: Draft = {
  xy: Float64Array.of(30, 20, 230, 20, 130, 20),
  nodeCount: 2,
  leads: [{ from: 0, to: 1, first: 2, count: 1, left: 1, right: 2, faceWidthMm: 10 }],
};

/** A square-on picture at 5 px/mm that starts 10 mm left of the sheet's zero and 20 mm above it. */
function squareOn(k1: number): Flattening {
  return {
    imageFromPanel: [5, 0, 50, 0, 5, 100, 0, 0, 1],
    lens: lensOf({ widthPx: 2000, heightPx: 1500 }, k1),
    extentMm: [0, 0, 380, 270],
    imagePxPerMm: 5,
    marks: [{ name: 'A', imageXyPx: [50, 100], panelXyMm: [0, 0] }],
    report: { marks: [], rmsMm: 0, lens: null, worstMark: null },
  };
}

describe('sheetPlacement', () => {
  it('keeps the measured frame of marks at known places', () => {
    const frame = panelFrame(draft, { kind: 'control_points', points: [] }, 'inside');
    const { imageFromPanel, points } = sheetPlacement(squareOn(0), frame);
    const [u, v] = project(imageFromPanel, 100, 30);
    expect(u).toBeCloseTo(550, 6);
    expect(v).toBeCloseTo(250, 6);
    expect(points[0]!.panelXyMm).toEqual([0, 0]);
    expect(points[0]!.residualMm).toBeCloseTo(0, 6);
  });

  it('starts at the outer corner when a scale bar gave only the scale', () => {
    const frame = panelFrame(draft, { kind: 'scale_bar', length_mm: 100 }, 'inside');
    const [u, v] = project(sheetPlacement(squareOn(0), frame).imageFromPanel, 0, 0);
    // the corner is at (25, 15) of the sheet: 5 · 25 + 50, 5 · 15 + 100
    expect(u).toBeCloseTo(175, 6);
    expect(v).toBeCloseTo(175, 6);
  });

  it('is mirrored when the outside was rubbed', () => {
    const frame = panelFrame(draft, { kind: 'control_points', points: [] }, 'outside');
    const { imageFromPanel } = sheetPlacement(squareOn(0), frame);
    // the panel spans 25 to 235: its left edge in the inside view lies at 235 on the sheet
    expect(project(imageFromPanel, 25, 30)[0]).toBeCloseTo(5 * 235 + 50, 6);
    const m = imageFromPanel;
    expect(m[0]! * m[4]! - m[1]! * m[3]!).toBeLessThan(0);
  });

  it('says how far a mark lies off because the plane map has no lens', () => {
    const frame = panelFrame(draft, { kind: 'control_points', points: [] }, 'inside');
    const lensed = squareOn(-0.02);
    const { points } = sheetPlacement(lensed, frame);
    // the corner of the picture moves by 2 % of its radius, 25 px = 5 mm; most of that is a scale
    expect(points[0]!.residualMm).toBeGreaterThan(0.3);
    expect(points[0]!.residualMm).toBeLessThan(6);
  });
});
