import { type BuildNetOptions, buildNet } from '../build-net.js';
import { lozengeSketch } from '../lozenge-sketch.js';
import type { CameProfile, Net, NetSketch, SketchLead } from '../net.js';
import { ringAreaMm2 } from '../ring.js';
import { cameNeeds, cutSticks, withWaste } from './came-needs.js';
import { cameRuns } from './came-runs.js';
import { foilProposals } from './foil.js';
import { netSchedule, solderJointCount } from './net-schedule.js';
import { scheduleCsv, scheduleJson } from './schedule-files.js';
import { glassGrams, leadGramsPerMetre, sectionMm2, solderEstimate } from './weights.js';

const GRID = { columns: 3, rows: 4, widthMm: 90, heightMm: 130, faceWidthMm: 6, outerFaceMm: 10 };
const SIDE = Math.hypot(45, 65);
const options: BuildNetOptions = {
  face: 'inside',
  layer: 'front',
  surface: 'plan',
  madeBy: { name: 'test', version: '1' },
};
const net = buildNet(lozengeSketch(GRID), options);

/** One piece of 600 × 900 mm in a frame, its four leads as told. */
function pane(lead: Partial<SketchLead>, more: Partial<BuildNetOptions> = {}): Net {
  const nodes = [
    [0, 0],
    [600, 0],
    [600, 900],
    [0, 900],
  ] as const;
  const sketch: NetSketch = {
    nodes: nodes.map((xyMm) => ({ xyMm })),
    leads: nodes.map((xyMm, i) => ({
      from: i,
      to: (i + 1) % 4,
      kind: 'outer' as const,
      lineMm: [xyMm, nodes[(i + 1) % 4]!],
      faceWidthMm: 6.35,
      widthSpreadMm: 0.1,
      confidenceP: 1,
      doubts: [],
      ...lead,
    })),
  };
  return buildNet(sketch, { ...options, ...more });
}

describe('came runs', () => {
  it('go straight through lozenge joints, corner to corner', () => {
    const runs = cameRuns(net);
    const inner = runs.filter((run) => run.kind === 'came');
    // Lines one way begin at the edge middles of the left and bottom side, the other way of the
    // left and top side: columns + rows each.
    expect(inner).toHaveLength(2 * (3 + 4));
    expect(runs.filter((run) => run.kind === 'outer')).toHaveLength(4);
    expect(new Set(runs.flatMap((run) => run.leadIds)).size).toBe(net.leads.length);
  });

  it('add up to the lead length of plane geometry, and are told apart from segments', () => {
    const needs = cameNeeds(net);
    expect(needs.map((need) => [need.kind, need.widthClassMm])).toEqual([
      ['came', 6],
      ['outer', 10],
    ]);
    expect(needs[0]!.lengthMm).toBeCloseTo(12 * 4 * SIDE, 1);
    expect(needs[1]!.lengthMm).toBeCloseTo(2 * (270 + 520), 3);
    expect(needs.map((need) => need.segments)).toEqual([48, 2 * (3 + 1) + 2 * (4 + 1)]);
    expect(needs.every((need) => need.sticks === null)).toBe(true);
  });
});

describe('sticks', () => {
  // Source: worked example WE-66 (common practice): 8.000 m, 10 % waste, 2.0 m lengths.
  it('needs 8.8 m or 5 lengths for 8 m', () => {
    const { grossMm, sticks } = withWaste(8000, { wasteRatio: 0.1, stickMm: 2000 });
    expect(grossMm).toBeCloseTo(8800, 6);
    expect(sticks).toBe(5);
  });

  // By hand: 1200 + 800, 700 + 700 + 600, 500 (first-fit decreasing over sticks of 2 m).
  it('cuts longest first, each from the first stick that has it', () => {
    const runs = [700, 1200, 500, 800, 600, 700].map((lengthMm, i) => ({
      runId: `R${i + 1}`,
      lengthMm,
    }));
    const { count, sticks, joined } = cutSticks(runs, 2000);
    expect(sticks.map(({ cuts }) => cuts.map((cut) => cut.lengthMm))).toEqual([
      [1200, 800],
      [700, 700, 600],
      [500],
    ]);
    expect([count, sticks[2]!.leftMm, joined]).toEqual([3, 1500, []]);
  });

  it('makes a run longer than a stick of several, and says which', () => {
    const { count, joined } = cutSticks([{ runId: 'R1', lengthMm: 4500 }], 2000);
    expect([count, joined]).toEqual([3, ['R1']]);
  });

  it('cuts every run of a drawing once', () => {
    const needs = cameNeeds(net, { stickMm: 1829 });
    const cut = needs.flatMap((need) => need.sticks!.sticks.flatMap((one) => one.cuts));
    expect(cut.reduce((sum, one) => sum + one.lengthMm, 0)).toBeCloseTo(
      needs.reduce((sum, need) => sum + need.lengthMm, 0),
      3,
    );
    for (const { sticks } of needs) {
      for (const { cuts } of sticks!.sticks) {
        expect(cuts.reduce((sum, one) => sum + one.lengthMm, 0)).toBeLessThanOrEqual(1829.001);
      }
    }
  });
});

// Sources: worked examples WE-01 to WE-05 and WE-08: own formula (area × density), dimensions common
// practice, 11.34 and 2.5 g/cm³ as handbooks have them; recomputed by another program.
describe('weights', () => {
  it.each([
    {
      id: 'WE-01',
      faceMm: 6.35,
      leafMm: 1,
      heartHeightMm: 4.8,
      heartMm: 1.6,
      mm2: 20.38,
      kg: 0.231109,
    },
    {
      id: 'WE-02',
      faceMm: 12,
      leafMm: 1.2,
      heartHeightMm: 5,
      heartMm: 1.8,
      mm2: 37.8,
      kg: 0.428652,
    },
    {
      id: 'WE-04',
      faceMm: 5,
      leafMm: 1,
      heartHeightMm: 4.5,
      heartMm: 1.5,
      mm2: 16.75,
      kg: 0.189945,
    },
  ])('$id: a metre of flat came', ({ mm2, kg, faceMm, leafMm, heartHeightMm, heartMm }) => {
    const area = sectionMm2({ leaf: 'flat', faceMm, leafMm, heartHeightMm, heartMm });
    expect(area).toBeCloseTo(mm2, 6);
    expect(leadGramsPerMetre(area) / 1000).toBeCloseTo(kg, 6);
  });

  it('WE-03: a metre of round came', () => {
    const area = sectionMm2({
      leaf: 'round',
      faceMm: 6.35,
      leafMm: 1.5,
      leafEdgeMm: 0.3,
      heartHeightMm: 4.8,
      heartMm: 1.6,
    });
    expect(area).toBeCloseTo(21.9346, 3);
    expect(leadGramsPerMetre(area) / 1000).toBeCloseTo(0.248738, 5);
  });

  it('WE-05, WE-08: a pane of 3 mm, a plated piece of 3 + 2 mm', () => {
    expect(glassGrams(600 * 900, { layersMm: [3] })).toBeCloseTo(4050, 6);
    expect(glassGrams(12_000, { layersMm: [3, 2] })).toBeCloseTo(150, 6);
  });

  it('weighs glass as cut and lead by its gauged section', () => {
    const profile: CameProfile = {
      name: 'flat 6.35',
      shape: 'H',
      leaf: 'flat',
      faceMm: 6.35,
      leafMm: 1,
      heartHeightMm: 4.8,
      heartMm: 1.6,
    };
    const gauged = pane({ profile: 'flat 6.35' }, { profiles: [profile], clearanceMm: 0 });
    const { grams, pieces } = netSchedule(gauged);
    // Half of a 1.6 mm heart inside each side; 3 m of WE-01.
    expect(pieces[0]!.grams).toBeCloseTo(598.4 * 898.4 * 3 * 0.0025, 0);
    expect(grams.lead).toBeCloseTo(231.109 * 3, 2);
    expect(grams.gaugedRatio).toBe(1);
    const guessed = netSchedule(pane({}));
    expect(guessed.grams.gaugedRatio).toBe(0);
    expect(guessed.assumptions.join(' ')).toContain('Not gauged');
  });

  // Plane geometry: face 5, back 1.5 at its outer edge, so the glass reaches 1 mm beyond the line.
  it('cuts glass up to the back of an outer U came', () => {
    const profile: CameProfile = {
      name: 'U 5',
      shape: 'U',
      leaf: 'flat',
      faceMm: 5,
      leafMm: 1,
      heartHeightMm: 4.5,
      heartMm: 1.5,
    };
    const { pieces } = pane(
      { profile: 'U 5', faceWidthMm: 5 },
      { profiles: [profile], clearanceMm: 0.25 },
    );
    expect(ringAreaMm2(pieces[0]!.cutRingMm)).toBeCloseTo((600 + 1.5) * (900 + 1.5), 1);
  });

  // By hand: two T joints of three 6 mm leads: disc of 7.5 mm, 0.8 mm high, both faces, 8.5 g/cm³.
  it('estimates solder by its stated formula', () => {
    const joint = (Math.PI / 4) * 7.5 ** 2 * 0.8 * 2 * 0.0085;
    const { joints, grams, formula } = solderEstimate({
      ...net,
      leads: net.leads.map((lead) => ({ ...lead, faceWidthMm: 6 })),
    });
    expect(joints).toBe(net.joints.length - 4);
    expect(grams).toBeCloseTo(joint * joints, 6);
    expect(formula).toContain('own formula');
  });
});

describe('copper foil', () => {
  it('is proposed where leads are narrow, even and most of the panel', () => {
    const foiled = buildNet(lozengeSketch({ ...GRID, faceWidthMm: 3.2 }), options);
    expect(foilProposals(foiled)[0]!.foilP).toBeGreaterThan(0.8);
    expect(foilProposals(net)[0]!.foilP).toBeLessThan(0.05);
    expect(scheduleCsv(foiled)).toContain('may be copper foil');
  });

  it('has a width class of its own beside came as narrow', () => {
    const sketch = lozengeSketch({ ...GRID, faceWidthMm: 4 });
    const half = sketch.leads.map((lead, i) =>
      lead.kind === 'came' && i % 2 === 0 ? { ...lead, kind: 'foil' as const } : lead,
    );
    const { widthClasses, leads } = buildNet({ ...sketch, leads: half }, options);
    expect(widthClasses.map(({ widthMm, kind }) => [widthMm, kind ?? 'came'])).toEqual([
      [4, 'came'],
      [10, 'came'],
      [4, 'foil'],
    ]);
    expect(leads.filter(({ kind }) => kind === 'foil').every((l) => l.widthClassP > 0.9)).toBe(
      true,
    );
  });
});

describe('the schedule as a file', () => {
  it('counts soldered joints: all but the four corners', () => {
    expect(solderJointCount(net)).toBe(net.joints.length - 4);
  });

  it('says of the profile that nobody measured it, and what the drawing is', () => {
    const csv = scheduleCsv(net);
    const [head, first] = csv.split('\r\n');
    expect(head!.split(',')[2]).toBe('profile');
    expect(first!.split(',')[2]).toBe('not measured');
    expect(csv).toContain('In plan');
    expect(csv).not.toContain('stick');
  });

  it('names the gauged section of a width with its day beside the one that only the drawing knows', () => {
    const [one, other] = netSchedule(net).came;
    const gauge = {
      kind: one!.kind,
      widthClassMm: one!.widthClassMm,
      profile: { name: 'round, milled', faceMm: 5.34 },
      on: '2026-11-03',
    };
    const earlier = { ...gauge, profile: { name: 'flat', faceMm: 5 }, on: '2026-10-01' };
    const rows = scheduleCsv(net, { gauged: [gauge, earlier] }).split('\r\n');
    expect(rows[0]!.split(',').slice(2, 4)).toEqual(['profile', 'width known by']);
    expect(rows[1]).toContain('"round, milled","gauge, 2026-11-03: face 5.3 mm"');
    expect(rows[2]).toContain('not measured,the lead drawing');
    expect(other).toMatchObject({ gauged: null });
  });

  it('lists what is cut from each stick when its length is given', () => {
    const csv = scheduleCsv(net, { stickMm: 2000 });
    expect(csv).toContain('sticks of 2.000 m');
    for (const { runId } of cameRuns(net)) expect(csv).toMatch(new RegExp(`\\b${runId} \\d+`));
  });

  it('has the same figures as JSON', () => {
    const value = JSON.parse(scheduleJson(net, { stickMm: 2000 })) as ReturnType<
      typeof netSchedule
    >;
    expect(value.format).toBe('mullion-schedule/1');
    expect(value.pieces).toHaveLength(net.pieces.length);
    expect(value.came[1]!.lengthMm).toBeCloseTo(2 * (270 + 520), 2);
    expect(value.joints.byDegree.reduce((sum, row) => sum + row.count, 0)).toBe(net.joints.length);
  });
});
