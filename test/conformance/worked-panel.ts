/** A small panel reckoned by hand against what the schedule says of it: metres, runs, joints, glass, weight. */
import { buildNet, cameRuns, type Net, netSchedule, solderJointCount } from '#libs/net';
import { check } from './check.js';

/**
 * Six panes: centre lines at x 0, 200, 400 (a straight lead between them) and y 0, 150, 300, 450; outer came 12 mm,
 * the others 6 mm. By hand: outer 2 · (400 + 450) = 1700 mm; inner 450 + 2 · 400 = 1250 mm. Joints where three or
 * more leads meet: 2 on each long side, 1 on each short side, 2 crossings, so 8. Each pane 200 × 150 mm between
 * centre lines. As cut, 0.8 mm (half a usual heart of 1.6) inside each centre line: 198.4 × 148.4 = 29 442.56 mm²;
 * six of 3 mm at 2.5 g/cm³ (EN 572-1, from memory): 1324.9 g.
 */
const FACE = { outer: 12, inner: 6 } as const;

function sixPanes(): Net {
  const xs = [0, 200, 400];
  const ys = [0, 150, 300, 450];
  const index = (i: number, j: number): number => j * xs.length + i;
  const nodes = ys.flatMap((y) => xs.map((x) => ({ xyMm: [x, y] as const })));
  const lead = (from: number, to: number, isOuter: boolean) => ({
    from,
    to,
    kind: isOuter ? ('outer' as const) : ('came' as const),
    lineMm: [nodes[from]!.xyMm, nodes[to]!.xyMm],
    faceWidthMm: isOuter ? FACE.outer : FACE.inner,
    widthSpreadMm: 0,
    confidenceP: 1,
    doubts: [],
  });
  const leads = ys.flatMap((_, j) =>
    xs.flatMap((__, i) => [
      ...(i + 1 < xs.length
        ? [lead(index(i, j), index(i + 1, j), j === 0 || j === ys.length - 1)]
        : []),
      ...(j + 1 < ys.length
        ? [lead(index(i, j), index(i, j + 1), i === 0 || i === xs.length - 1)]
        : []),
    ]),
  );
  return buildNet(
    { nodes, leads },
    {
      face: 'inside',
      layer: 'front',
      surface: 'plan',
      heartMm: 1.6,
      clearanceMm: 0,
      flatten: null,
      doubtfulPlaces: [],
      madeBy: { name: 'conformance', version: '1' },
    },
  );
}

export function checkWorkedPanel(): void {
  const net = sixPanes();
  const schedule = netSchedule(net);
  const near = (name: string, value: number, byHand: number, within: number): void => {
    check(
      `worked panel: ${name} is ${byHand}`,
      Math.abs(value - byHand) <= within,
      `${value}, not ${byHand}`,
    );
  };
  near('pieces', net.pieces.length, 6, 0);
  near('joints to solder', solderJointCount(net), 8, 0);
  for (const [widthMm, lengthMm] of [
    [FACE.outer, 1700],
    [FACE.inner, 1250],
  ] as const) {
    const own = net.leads.filter((e) => e.widthClassMm === widthMm).map((e) => e.leadId);
    const runs = cameRuns(net).filter((run) => run.leadIds.every((id) => own.includes(id)));
    near(
      `came of ${widthMm} mm along the centre lines, in mm`,
      runs.reduce((sum, run) => sum + run.lengthMm, 0),
      lengthMm,
      0.01,
    );
  }
  near(
    'glass as cut, in mm²',
    schedule.pieces.reduce((sum, piece) => sum + piece.cutAreaMm2, 0),
    176_655.36,
    1,
  );
  near(
    'weight of the glass, in g',
    schedule.pieces.reduce((sum, piece) => sum + piece.grams, 0),
    1324.92,
    0.1,
  );
}
