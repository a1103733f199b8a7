/** Thread that reads one sheet: wax → sketch → net. Ends with its one message. */
import { parentPort, workerData } from 'node:worker_threads';
import { buildNet, type Net, NetError } from '#libs/net';
import { fitHomography, RegisterError } from '#libs/register';
import { extractRubbing, RubbingError, type RubbingSheet } from '#libs/rubbing';
import type { ReadRubbing, RubbingRequest, ThreadMessage } from './read-rubbing.js';

const request = workerData as RubbingRequest;

/** Bumped with every change that gives another drawing for the same sheet. */
const VERSION = '1';

function tell(message: ThreadMessage): void {
  parentPort!.postMessage(message);
}

/**
 * How the original lies on the panel, from the marks as they were measured. Only where the marks are
 * places in the panel's own frame: not for sheets scaled by lengths, nor for the other face.
 */
function placementOf(sheet: RubbingSheet, face: Net['face']): ReadRubbing['placement'] {
  const { control, taps } = sheet;
  if (control.kind !== 'control_points' || face === 'outside') return null;
  const pairs = control.points.map(({ name, mm }, i) => ({
    name,
    panelMm: mm,
    imagePx: taps[i]!,
  }));
  try {
    const fitted = fitHomography(pairs);
    return {
      imageFromPanel: [...fitted.imageFromPanel],
      points: pairs.map(({ panelMm, imagePx }, i) => ({
        imageXyPx: [imagePx[0], imagePx[1]],
        panelXyMm: [panelMm[0], panelMm[1]],
        residualMm: fitted.residuals[i]!.residualMm,
      })),
      rmsMm: fitted.rmsMm,
    };
  } catch (error) {
    // the drawing stands without it: a person can place the picture by hand
    if (error instanceof RegisterError) return null;
    throw error;
  }
}

function read(): ReadRubbing {
  const { picture, control, taps, face, layer } = request;
  const sheet: RubbingSheet = { image: picture, control: control as RubbingSheet['control'], taps };
  const found = extractRubbing(sheet, { face }, (stage: string, ratio: number) => {
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
    placement: placementOf(sheet, face),
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
