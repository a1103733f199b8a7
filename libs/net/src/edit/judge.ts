/** Whether an edited drawing is a lead net, and if not, where and why. */
import { buildNet } from '../build-net.js';
import type { Net, XyMm } from '../net.js';
import { NetError, type NetFault } from '../net-error.js';
import { distanceMm } from '../ring.js';
import { type Drawing, sketchOfDrawing } from './drawing.js';
import { openEnds } from './gaps.js';

export interface Trouble {
  readonly fault: NetFault;
  /** For a person: what is wrong and what mends it. */
  readonly sentence: string;
  readonly xyMm: XyMm | null;
}

export interface Judgement {
  /** Null as long as there is trouble. */
  readonly net: Net | null;
  readonly troubles: readonly Trouble[];
}

/**
 * Builds the drawing as the archive would: in the frame and with the numbers of the earlier net.
 * Every open end is named, and otherwise the first thing that is wrong.
 */
export function judgeDrawing(drawing: Drawing, earlier: Net): Judgement {
  const { sketch, doubtfulPlaces } = sketchOfDrawing(drawing);
  try {
    const net = buildNet(sketch, {
      face: earlier.face,
      layer: earlier.layer,
      surface: earlier.surface,
      heartMm: earlier.heartMm,
      clearanceMm: earlier.clearanceMm,
      flatten: earlier.flatten,
      madeBy: { name: 'hand', version: '1' },
      doubtfulPlaces,
      numbering: { earlier, overrides: drawing.numbers },
    });
    return { net, troubles: [] };
  } catch (error) {
    if (!(error instanceof NetError)) throw error;
    const first: Trouble = {
      fault: error.fault,
      sentence: sentence(error.message),
      xyMm: error.xyMm,
    };
    const open = openEnds(drawing)
      .filter(({ isBroken }) => !isBroken)
      .filter(({ xyMm }) => first.xyMm === null || distanceMm(xyMm, first.xyMm) > 0.01)
      .map(
        ({ xyMm }): Trouble => ({
          fault: 'dangling-lead',
          sentence: 'A lead ends in the glass: join it to another, mark it broken, or erase it.',
          xyMm,
        }),
      );
    return { net: null, troubles: [first, ...open] };
  }
}

const sentence = (message: string) => `${message.charAt(0).toUpperCase()}${message.slice(1)}.`;
