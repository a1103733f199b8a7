import { readFileSync } from 'node:fs';
import { buildNet, leadGramsPerMetre, type Net, sectionMm2 } from '#libs/net';
import { estimatedWeight, liftingOf, meanThicknessOfMm, panelWeight } from './index.js';

// Worked by hand, evaluated again in another language: see fixtures/standards.
const { examples } = JSON.parse(
  readFileSync(
    new URL('../../../../fixtures/standards/weights-and-bulges.json', import.meta.url),
    'utf8',
  ),
) as { examples: { id: string; expected: Record<string, number> }[] };
const expected = (id: string) => examples.find((one) => one.id === id)!.expected;
const near = (value: number, wanted: number, share = 1e-4) => {
  expect(Math.abs(value / wanted - 1)).toBeLessThan(share);
};

it.each([
  ['WE-01', { leaf: 'flat', faceMm: 6.35, leafMm: 1, heartHeightMm: 4.8, heartMm: 1.6 }],
  ['WE-02', { leaf: 'flat', faceMm: 12, leafMm: 1.2, heartHeightMm: 5, heartMm: 1.8 }],
  [
    'WE-03',
    { leaf: 'round', faceMm: 6.35, leafMm: 1.5, leafEdgeMm: 0.3, heartHeightMm: 4.8, heartMm: 1.6 },
  ],
  ['WE-04', { leaf: 'flat', faceMm: 5, leafMm: 1, heartHeightMm: 4.5, heartMm: 1.5 }],
] as const)('a came of %s weighs what the section says', (id, profile) => {
  near(sectionMm2(profile), expected(id)['area_mm2']!);
  near(leadGramsPerMetre(sectionMm2(profile)) / 1000, expected(id)['kg_per_m']!);
});

const PROFILE = {
  name: 'H 6.35',
  shape: 'H',
  leaf: 'flat',
  faceMm: 6.35,
  leafMm: 1,
  heartHeightMm: 4.8,
  heartMm: 1.6,
} as const;

/** 600 × 900 mm over its centre lines, parted once in the middle: came all round and across. */
function panel(): Net {
  const places = [
    [0, 0],
    [600, 0],
    [600, 450],
    [600, 900],
    [0, 900],
    [0, 450],
  ] as const;
  const lead = (from: number, to: number) => ({
    from,
    to,
    kind: from === 5 && to === 2 ? ('came' as const) : ('outer' as const),
    lineMm: [places[from]!, places[to]!],
    faceWidthMm: 6.35,
    widthSpreadMm: 0,
    confidenceP: 1,
    doubts: [],
  });
  return buildNet(
    {
      nodes: places.map((xyMm) => ({ xyMm })),
      leads: [lead(0, 1), lead(1, 2), lead(2, 3), lead(3, 4), lead(4, 5), lead(5, 0), lead(5, 2)],
    },
    {
      face: 'inside',
      layer: 'front',
      surface: 'plan',
      heartMm: 1.6,
      clearanceMm: 0,
      madeBy: { name: 'test', version: '1' },
    },
  );
}

it('adds glass as cut and lead by its section, as WE-06 does', () => {
  const net = panel();
  const facts = {
    glass: { layersMm: [3] },
    solderRatio: 0,
    profiles: net.leads.map(({ kind, widthClassMm }) => ({ kind, widthClassMm, profile: PROFILE })),
  };
  const weight = panelWeight(net, facts);
  // Two lights of 600 × 450 less half a heart at each edge: plane geometry, not the lib's inset.
  near(weight.glassKg, (2 * (600 - 1.6) * (450 - 1.6) * 3 * 2.5) / 1e6);
  const metres = (2 * 600 + 2 * 900 + 600) / 1000;
  near(weight.leadKg, metres * expected('WE-01')['kg_per_m']!);
  near(weight.netKg, weight.glassKg + weight.leadKg);
  // Glass over the whole panel, to the outside of the outer came, and 5 % (WE-07).
  const overall = (606.35 * 906.35 * 3 * 2.5) / 1e6;
  near(weight.grossKg, (overall + metres * expected('WE-01')['kg_per_m']!) * 1.05, 2e-3);
  expect(weight.gaugedLeadRatio).toBe(1);
  near(weight.centreMm[0], 300);
  near(weight.centreMm[1], 450);
});

it('takes a weighing before any sum, and moulded glass by the mean of its gauge readings', () => {
  const net = panel();
  const weighed = panelWeight(net, {
    pieces: { '1': { weighedG: 2500 }, '2': { thicknessesMm: [4, 8, 6] } },
  });
  expect(weighed.pieces.find(({ pieceId }) => pieceId === '1')).toMatchObject({
    grams: 2500,
    source: 'weighed',
  });
  const two = weighed.pieces.find(({ pieceId }) => pieceId === '2')!;
  expect(two).toMatchObject({ source: 'gauged', meanThicknessMm: 6 });
  near(two.grams, (598.4 * 448.4 * 6 * 2.5) / 1000);
  expect(panelWeight(net, { weighedKg: 7.25 })).toMatchObject({ kg: 7.25, source: 'weighed' });
  expect(panelWeight(net).measuredGlassRatio).toBe(0);
  expect(weighed.measuredGlassRatio).toBe(1);
});

it('a plated piece is the sum of its layers, a weighed one has a mean thickness', () => {
  const net = panel();
  const plated = panelWeight(net, { pieces: { '1': { layersMm: [3, 2] } } });
  const one = plated.pieces.find(({ pieceId }) => pieceId === '1')!;
  // WE-08: 120 cm² of 3 + 2 mm weigh 0.150 kg
  near(one.grams / (598.4 * 448.4), (expected('WE-08')['kg']! * 1000) / 12_000);
  near(meanThicknessOfMm(412, 15_000), expected('WE-09')['mean_thickness_mm']!);
});

it('counts the layers that were described of a piece, each by its own thickness and density', () => {
  const net = panel();
  const areaMm2 = 598.4 * 448.4;
  const gramsOf = (layers: readonly object[]) =>
    panelWeight(net, { pieces: { '1': { thicknessesMm: [9], layers: layers as [] } } }).pieces.find(
      ({ pieceId }) => pieceId === '1',
    )!;
  // volume × density, by hand: 2.5 g/cm³ where a layer says nothing else
  const plated = [
    { is: 'glass', thicknessMm: 3 },
    { is: 'interlayer', thicknessMm: 1, densityGCm3: 1.1 },
    { is: 'glass', thicknessMm: 2, densityGCm3: 2.6 },
  ];
  near(gramsOf(plated).grams, (areaMm2 * (3 * 2.5 + 1.1 + 2 * 2.6)) / 1000);
  expect(gramsOf(plated)).toMatchObject({ source: 'given', meanThicknessMm: 5 });
  const gauged = [
    {
      is: 'glass',
      gauged: [
        { xyMm: [10, 10], thicknessMm: 5 },
        { xyMm: [90, 10], thicknessMm: 7 },
      ],
    },
  ];
  near(gramsOf(gauged).grams, (areaMm2 * 6 * 2.5) / 1000);
  expect(gramsOf(gauged).source).toBe('gauged');
  // a glass without a thickness takes no place of what was gauged before
  near(gramsOf([{ is: 'glass' }]).grams, (areaMm2 * 9 * 2.5) / 1000);
  const { formulas } = panelWeight(net, { pieces: { '1': { layers: plated as [] } } });
  expect(formulas.join('\n')).toContain('pieces 1: by the layers described of them');
});

it('estimates from the area with a range, by the drawn panels when there are three', () => {
  expect(estimatedWeight(1e6)).toMatchObject({ kg: 11, lowKg: 8, highKg: 16 });
  expect(estimatedWeight(5e5, [10, 14, 12])).toMatchObject({ kg: 6, lowKg: 5, highKg: 7 });
});

it.each([
  [25, 2, false],
  [25.1, 4, false],
  [50.1, 4, true],
])('%d kg are for %d people, gear %s', (kg, people, needsGear) => {
  expect(liftingOf(kg)).toMatchObject({ people, needsGear });
});
