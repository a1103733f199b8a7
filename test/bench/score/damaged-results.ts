/** Results spoiled in known, repeatable ways, to hold the scorer to the reference scorer. */
import { randomStream } from '../generator/random-stream.js';
import type { RubbingResult, RubbingTruth } from './rubbing-result.js';
import type { Xy } from './score-math.js';

export interface ScorerCase {
  truth: RubbingTruth;
  result: RubbingResult;
}

export const DAMAGES: Record<string, (truth: RubbingTruth) => ScorerCase> = {
  exact: (truth) => ({ truth, result: perfect(truth) }),
  empty: (truth) => ({ truth, result: { pieces: [], leads: [] } }),
  shaken: (truth) => ({ truth, result: shaken(truth, 0.5) }),
  'shaken hard': (truth) => ({ truth, result: shaken(truth, 2.2) }),
  'cut polygons only': (truth) => {
    const full = shaken(truth, 0.3);
    const result: RubbingResult = {
      leads: full.leads!,
      pieces: truth.pieces.map((p) => ({ id: `p${p.id}`, cut_polygon: p.cut_polygon })),
      adjacency: truth.adjacency.map(({ a, b }) => ({ a: `p${a}`, b: `p${b}` })),
    };
    return { truth, result };
  },
  'pieces lost and leads invented': (truth) => {
    const random = randomStream('lost');
    const full = shaken(truth, 0.2);
    const leads = full.leads!.filter(() => random.chance(0.9));
    for (let k = 0; k < 9; k++) {
      const a: Xy = [random.between(0, 300), random.between(0, 380)];
      leads.push({
        line: [a, [a[0] + random.between(-60, 60), a[1] + random.between(-60, 60)]],
        width_mm: 5,
      });
    }
    leads.forEach((e, i) => {
      if (i % 4 === 0) e.width_mm = null;
    });
    const pieces = full.pieces!.filter(() => random.chance(0.85));
    pieces.push({
      id: 900,
      polygon: [
        [20, 20],
        [90, 25],
        [80, 120],
        [15, 90],
      ],
    });
    const junctions = truth.junctions
      .filter(() => random.chance(0.9))
      .map((j): Xy => [j.xy[0] + 2 * random.normal(), j.xy[1] + 2 * random.normal()]);
    junctions.push([150, 150], junctions[0]!, junctions[1]!);
    const adjacency = full.adjacency!.filter(() => random.chance(0.92));
    adjacency.push([1, 5], [2, 9], [900, 3], [901, 4]);
    return { truth, result: { leads, pieces, adjacency, junctions, lead_length_total_mm: 5900 } };
  },
  'turned, free frame': (truth) => {
    const turn = (p: Xy): Xy => {
      const t = 1.6;
      return [
        Math.cos(t) * p[0] - Math.sin(t) * p[1] + 80,
        Math.sin(t) * p[0] + Math.cos(t) * p[1] - 33,
      ];
    };
    const full = shaken(truth, 0.4);
    const result: RubbingResult = {
      leads: full.leads!.map((e) => ({ ...e, line: e.line.map(turn) })),
      pieces: full.pieces!.map((p) => ({ ...p, polygon: p.polygon!.map(turn) })),
      adjacency: full.adjacency!,
      junctions: truth.junctions.map((j) => turn(j.xy)),
    };
    return { truth: { ...truth, align: 'rigid' }, result };
  },
};

function perfect(truth: RubbingTruth): RubbingResult {
  return {
    pieces: truth.pieces.map(({ id, polygon }) => ({ id, polygon })),
    leads: truth.leads.map((e) => ({ line: e.line, width_mm: e.width_mm! })),
    adjacency: truth.adjacency.map(({ a, b }) => [a, b]),
    junctions: truth.junctions.map((j) => j.xy),
  };
}

function shaken(truth: RubbingTruth, mm: number): RubbingResult {
  const random = randomStream(`shaken ${mm}`);
  const shake = (p: Xy): Xy => [p[0] + mm * random.normal(), p[1] + mm * random.normal()];
  const full = perfect(truth);
  return {
    ...full,
    leads: full.leads!.map((e) => ({
      line: e.line.map(shake),
      width_mm: e.width_mm! + mm * random.normal(),
    })),
    // Whole pieces are moved: shaken corners would cross each other, and then the two scorers may differ.
    pieces: full.pieces!.map((p) => {
      const by = shake([0, 0]);
      return { ...p, polygon: p.polygon!.map((q): Xy => [q[0] + 4 * by[0], q[1] + 4 * by[1]]) };
    }),
    junctions: full.junctions!.map((j) => shake(Array.isArray(j) ? j : j.xy)),
  };
}
