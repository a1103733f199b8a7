/** Thread that reads the sheets of one rubbing: wax → sketch → net. Ends with its one message. */
import { parentPort, workerData } from 'node:worker_threads';
import { buildNet, NetError } from '#libs/net';
import { extractRubbing, RubbingError, type RubbingSheet } from '#libs/rubbing';
import type { ReadRubbing, RubbingRequest, ThreadMessage } from './read-rubbing.js';

const request = workerData as RubbingRequest;

/** Bumped with every change that gives another drawing for the same sheets. */
const VERSION = '1';

function tell(message: ThreadMessage): void {
  parentPort!.postMessage(message);
}

function read(): ReadRubbing {
  const { pictures, face, layer } = request;
  const sheets = pictures.map(
    ({ picture, control, taps }): RubbingSheet => ({
      image: picture,
      control: control as RubbingSheet['control'],
      taps,
    }),
  );
  const found = extractRubbing(sheets, { face }, (stage: string, ratio: number) => {
    tell({ kind: 'progress', stage, ratio });
  });
  const net = buildNet(found.sketch, {
    face,
    layer,
    surface: 'developed',
    flatten: found.flatten,
    doubtfulPlaces: found.doubtfulPlaces.map((place) => ({ ...place, leadIndex: null })),
    madeBy: { name: 'rubbing', version: VERSION },
  });
  const { widthPx, heightPx, pxPerMm, originMm, grey } = found.rectified;
  return {
    net,
    rectified: {
      widthPx,
      heightPx,
      grey,
      // originMm is the centre of the first pixel, half a pixel from the picture's corner
      imageFromPanel: [
        pxPerMm,
        0,
        0.5 - originMm[0] * pxPerMm,
        0,
        pxPerMm,
        0.5 - originMm[1] * pxPerMm,
        0,
        0,
        1,
      ],
    },
    placements: [...found.placements],
  };
}

try {
  tell({ kind: 'read', read: read() });
} catch (error) {
  if (error instanceof RubbingError) {
    tell({
      kind: 'refused',
      message: error.message,
      members: { ...error.members, fault: error.fault },
    });
  } else if (error instanceof NetError) {
    tell({
      kind: 'refused',
      message: `The leads that were found do not close to a drawing: ${error.message}. Check the marks, or photograph the sheet again in even light.`,
      members: { fault: error.fault },
    });
  } else {
    tell({ kind: 'broken', stack: error instanceof Error ? (error.stack ?? '') : String(error) });
  }
}
