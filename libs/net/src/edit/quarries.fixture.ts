/** A panel of quarries for the tests of editing by hand. */
import { buildNet } from '../build-net.js';
import { lozengeSketch } from '../lozenge-sketch.js';
import type { Net, XyMm } from '../net.js';
import { addLead } from './add-lead.js';
import { leadNear } from './cut.js';
import type { Drawing } from './drawing.js';
import { judgeDrawing } from './judge.js';
import { snapper } from './snap.js';

/** 100 × 120 mm, three by three, from (0, 0) to (300, 360); whole ones are centred at (50 + 100 i, 60 + 120 j). */
export const quarries: Net = buildNet(
  lozengeSketch({
    columns: 3,
    rows: 3,
    widthMm: 100,
    heightMm: 120,
    faceWidthMm: 6,
    outerFaceMm: 10,
  }),
  { face: 'inside', layer: 'front', surface: 'plan', madeBy: { name: 'test', version: '1' } },
);

export const leadAt = (drawing: Drawing, xyMm: XyMm) => leadNear(drawing, xyMm, 3)!;

/** The net of a drawing that builds, numbered after an earlier one. */
export function builtAfter(drawing: Drawing, earlier: Net): Net {
  const { net, troubles } = judgeDrawing(drawing, earlier);
  if (net === null) throw new Error(troubles[0]!.sentence);
  return net;
}

/** A mending lead from side to side of the whole quarry round a place. */
export function mended(drawing: Drawing, [x, y]: XyMm): Drawing {
  const { snap } = snapper(drawing);
  return addLead(drawing, snap([x - 25, y - 30], 3), snap([x + 25, y + 30], 3), [], {
    kind: 'mending',
    faceWidthMm: 4,
  }).drawing;
}
