/** Sections of bars: area and second moment about the axis that the load bends them round. */
import { needPositive, StructureError } from './structure-error.js';

export type BarSection =
  | { readonly shape: 'round'; readonly diameterMm: number }
  | {
      readonly shape: 'flat';
      /** measured through the window, the way the wind pushes */
      readonly depthMm: number;
      readonly breadthMm: number;
    }
  | { readonly shape: 'tube'; readonly outerMm: number; readonly innerMm: number }
  | {
      /** a flange along the glass, a web standing away from it */
      readonly shape: 'tee';
      readonly depthMm: number;
      readonly breadthMm: number;
      readonly flangeMm: number;
      readonly webMm: number;
    };

export interface SectionFigures {
  readonly areaMm2: number;
  readonly secondMomentMm4: number;
  /** From the neutral axis to the farthest fibre. */
  readonly farthestMm: number;
  readonly formula: string;
}

/**
 * Source: plane geometry; `π d⁴ / 64`, `b h³ / 12`, `π (D⁴ − d⁴) / 64`, and for a tee the sum of its two
 * rectangles about their common axis (parallel axes).
 *
 * @throws StructureError `bad-size`
 */
export function sectionFigures(section: BarSection): SectionFigures {
  switch (section.shape) {
    case 'round': {
      const { diameterMm: d } = section;
      needPositive(d, 'diameterMm', 'bad-size');
      return {
        areaMm2: (Math.PI * d ** 2) / 4,
        secondMomentMm4: (Math.PI * d ** 4) / 64,
        farthestMm: d / 2,
        formula: 'I = π d⁴ / 64',
      };
    }
    case 'flat': {
      const { depthMm: h, breadthMm: b } = section;
      needPositive(h, 'depthMm', 'bad-size');
      needPositive(b, 'breadthMm', 'bad-size');
      return {
        areaMm2: b * h,
        secondMomentMm4: (b * h ** 3) / 12,
        farthestMm: h / 2,
        formula: 'I = b h³ / 12',
      };
    }
    case 'tube': {
      const { outerMm, innerMm } = section;
      needPositive(outerMm, 'outerMm', 'bad-size');
      needPositive(innerMm, 'innerMm', 'bad-size');
      if (innerMm >= outerMm) {
        throw new StructureError(
          'bad-size',
          `the hole must be smaller than the tube, ${outerMm} mm`,
          'innerMm',
        );
      }
      return {
        areaMm2: (Math.PI * (outerMm ** 2 - innerMm ** 2)) / 4,
        secondMomentMm4: (Math.PI * (outerMm ** 4 - innerMm ** 4)) / 64,
        farthestMm: outerMm / 2,
        formula: 'I = π (D⁴ − d⁴) / 64',
      };
    }
    case 'tee':
      return teeFigures(section);
  }
}

function teeFigures(section: Extract<BarSection, { shape: 'tee' }>): SectionFigures {
  const { depthMm, breadthMm, flangeMm, webMm } = section;
  for (const [field, value] of Object.entries({ depthMm, breadthMm, flangeMm, webMm })) {
    needPositive(value, field, 'bad-size');
  }
  if (flangeMm >= depthMm || webMm > breadthMm) {
    throw new StructureError(
      'bad-size',
      'the flange must be thinner than the tee is deep, the web no thicker than the flange is wide',
      flangeMm >= depthMm ? 'flangeMm' : 'webMm',
    );
  }
  const web = { area: (depthMm - flangeMm) * webMm, at: (depthMm + flangeMm) / 2 };
  const flange = { area: breadthMm * flangeMm, at: flangeMm / 2 };
  const areaMm2 = web.area + flange.area;
  const axis = (web.area * web.at + flange.area * flange.at) / areaMm2;
  const own = (breadth: number, depth: number) => (breadth * depth ** 3) / 12;
  return {
    areaMm2,
    secondMomentMm4:
      own(webMm, depthMm - flangeMm) +
      web.area * (web.at - axis) ** 2 +
      own(breadthMm, flangeMm) +
      flange.area * (flange.at - axis) ** 2,
    farthestMm: Math.max(axis, depthMm - axis),
    formula: 'I = Σ (b h³ / 12 + A e²), flange and web',
  };
}
