import {
  type BarSection,
  barLoadNPerMm,
  barUnderLoad,
  GLASS_GROWTH_PER_MK,
  growthMm,
  LEAD_GROWTH_PER_MK,
  materialOf,
  roundBarForLimitMm,
  StructureError,
  sectionFigures,
  windPressurePa,
} from './index.js';

const ROUND: BarSection = { shape: 'round', diameterMm: 12 };
const W = 0.108;
const bar = (over: Partial<Parameters<typeof barUnderLoad>[0]> = {}) =>
  barUnderLoad({
    section: ROUND,
    material: 'steel',
    spansMm: [600],
    ends: 'resting',
    loadNPerMm: W,
    ...over,
  });
/** relative */
const near = (value: number, expected: number, tolerance = 1e-4) => {
  expect(Math.abs(value - expected) / Math.abs(expected)).toBeLessThan(tolerance);
};

// Worked by numerical double integration in another language; formula 5 w L⁴ / 384 E I of the handbooks.
it.each<[string, BarSection, 'steel' | 'bronze', number, number, number]>([
  ['round 12, steel', ROUND, 'steel', 1017.88, 0.852616, 28.6479],
  ['round 10, steel', { shape: 'round', diameterMm: 10 }, 'steel', 490.874, 1.76798, 49.5036],
  [
    'flat 25 × 6 on edge',
    { shape: 'flat', depthMm: 25, breadthMm: 6 },
    'steel',
    7812.5,
    0.111086,
    7.776,
  ],
  ['flat 25 × 6 lying', { shape: 'flat', depthMm: 6, breadthMm: 25 }, 'steel', 450, 1.92857, 32.4],
  ['round 12, bronze', ROUND, 'bronze', 1017.88, 1.70523, 28.6479],
])('%s over 600 mm at 0.108 N/mm', (_name, section, material, secondMoment, deflection, stress) => {
  near(sectionFigures(section).secondMomentMm4, secondMoment);
  const [span] = bar({ section, material }).spans;
  near(span!.deflectionMm, deflection);
  near(span!.momentNmm, 4860);
  near(span!.stressMPa, stress);
  near(span!.spanOverDeflection, 600 / deflection);
});

// Coefficients of continuous beams with equal spans, as printed in steel designers' tables (from memory):
// moments in w L², deflections in w L⁴ / E I, reactions in w L.
it.each([
  ['one span, held', ['held', 1], [1 / 12], [1 / 384], [0.5, 0.5]],
  ['two spans', ['resting', 2], [0.125, 0.125], [0.0054, 0.0054], [0.375, 1.25, 0.375]],
  ['three spans', ['resting', 3], [0.1, 0.1, 0.1], [0.0069, 0.00052, 0.0069], [0.4, 1.1, 1.1, 0.4]],
] as const)('%s', (_name, [ends, count], moments, deflections, reactions) => {
  const L = 700;
  const figures = bar({ ends, spansMm: Array.from({ length: count }, () => L) });
  const stiffness =
    materialOf('steel').youngGPa.used * 1000 * sectionFigures(ROUND).secondMomentMm4;
  figures.spans.forEach(({ momentNmm, deflectionMm }, i) => {
    near(momentNmm / (W * L ** 2), moments[i]!, 1e-3);
    // the tables give two figures
    near((deflectionMm * stiffness) / (W * L ** 4), deflections[i]!, 0.02);
  });
  figures.reactionsN.forEach((reaction, i) => {
    near(reaction / (W * L), reactions[i]!, 1e-6);
  });
});

it.each([
  ['resting', [600]],
  ['held', [300, 900]],
  ['resting', [450, 500, 700, 350]],
] as const)('what the supports carry adds up to the load: %s %j', (ends, spansMm) => {
  const { reactionsN } = bar({ ends, spansMm });
  const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);
  near(sum(reactionsN), W * sum(spansMm), 1e-9);
});

it('reckons a tee as the strips that it is made of', () => {
  const tee = { shape: 'tee', depthMm: 30, breadthMm: 25, flangeMm: 4, webMm: 5 } as const;
  // Thin strips summed, which knows nothing of parallel axes.
  const strips = Array.from({ length: 30_000 }, (_, i) => {
    const y = (i + 0.5) / 1000;
    return { y, area: (y < tee.flangeMm ? tee.breadthMm : tee.webMm) / 1000 };
  });
  const area = strips.reduce((sum, strip) => sum + strip.area, 0);
  const axis = strips.reduce((sum, strip) => sum + strip.area * strip.y, 0) / area;
  const second = strips.reduce((sum, strip) => sum + strip.area * (strip.y - axis) ** 2, 0);
  const figures = sectionFigures(tee);
  near(figures.areaMm2, area, 1e-9);
  near(figures.secondMomentMm4, second, 1e-6);
  near(figures.farthestMm, Math.max(axis, tee.depthMm - axis), 1e-9);
});

it('a tube is a round bar less its hole', () => {
  const round = (diameterMm: number) => sectionFigures({ shape: 'round', diameterMm });
  const tube = sectionFigures({ shape: 'tube', outerMm: 16, innerMm: 12 });
  near(tube.secondMomentMm4, round(16).secondMomentMm4 - round(12).secondMomentMm4, 1e-12);
});

it('wind of 24 m/s presses with 360 Pa and loads a bar of 300 mm bays with 0.108 N/mm', () => {
  // EN 1991-1-4, recommended density of air (from memory)
  expect(windPressurePa(24)).toBe(360);
  near(barLoadNPerMm(360, 300), 0.108, 1e-12);
});

it('finds the round bar for L/360', () => {
  const needed = roundBarForLimitMm({ material: 'steel', spanMm: 600, loadNPerMm: W }, 360);
  expect(needed).toBeCloseTo(10.1486, 3);
  const [span] = bar({ section: { shape: 'round', diameterMm: needed } }).spans;
  near(span!.spanOverDeflection, 360, 1e-6);
});

it('a metre of lead grows 1.16 mm by 40 K, of glass 0.36 mm, a steel bar of 1.5 m 1.08 mm by 60 K', () => {
  // Handbook tables: lead 28.0-29.5, plate glass 9.0, steel 12 (EN 1993-1-1, from memory), 10⁻⁶/K
  expect(growthMm(LEAD_GROWTH_PER_MK, 1000, 40)).toBeCloseTo(1.16, 9);
  expect(growthMm(GLASS_GROWTH_PER_MK, 1000, 40)).toBeCloseTo(0.36, 9);
  expect(growthMm(materialOf('steel').growthPerMK, 1500, 60)).toBeCloseTo(1.08, 9);
});

it.each([
  ['no length', { spansMm: [] }, 'spansMm'],
  ['a length of 0', { spansMm: [600, 0] }, 'spansMm'],
  ['no load', { loadNPerMm: 0 }, 'loadNPerMm'],
  [
    'a bar of no thickness',
    { section: { shape: 'round', diameterMm: 0 } as BarSection },
    'diameterMm',
  ],
  [
    'a hole wider than its tube',
    { section: { shape: 'tube', outerMm: 10, innerMm: 12 } as BarSection },
    'innerMm',
  ],
])('refuses %s and names the figure', (_name, over, field) => {
  expect(() => bar(over)).toThrow(StructureError);
  expect(() => bar(over)).toThrow(expect.objectContaining({ field }) as Error);
});
