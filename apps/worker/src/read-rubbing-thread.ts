/** Thread that reads the sheets of one rubbing: wax → sketch → net. Ends with its one message. */
import { parentPort, workerData } from 'node:worker_threads';
import { buildNet, NetError } from '#libs/net';
import {
  extractRubbing,
  READING_VERSION,
  RubbingError,
  type RubbingResult,
  type RubbingSheet,
} from '#libs/rubbing';
import { picturesInFiles } from './picture-in-file.js';
import type {
  PanelPicture,
  ReadRubbing,
  RubbingRequest,
  StagePicture,
  ThreadMessage,
} from './read-rubbing.js';

const request = workerData as RubbingRequest;

function tell(message: ThreadMessage): void {
  parentPort!.postMessage(message);
}

function read(): ReadRubbing {
  const { pictures, face, layer, surface, faceWidthsInUseMm, numbering } = request;
  const images = picturesInFiles(pictures.map(({ picture }) => picture));
  const sheets = pictures.map(
    ({ control, taps }, i): RubbingSheet => ({
      image: images[i]!,
      control: control as RubbingSheet['control'],
      taps,
    }),
  );
  const found = extractRubbing(
    sheets,
    { face, explain: true, ...(faceWidthsInUseMm.length === 0 ? {} : { faceWidthsInUseMm }) },
    (stage: string, ratio: number) => {
      tell({ kind: 'progress', stage, ratio });
    },
  );
  const net = buildNet(found.sketch, {
    face,
    layer,
    surface,
    flatten: found.flatten,
    doubtfulPlaces: found.doubtfulPlaces.map((place) => ({ ...place, leadIndex: null })),
    madeBy: { name: 'rubbing', version: READING_VERSION },
    numbering,
  });
  const rectified = rectifiedPicture(found.rectified);
  return {
    net,
    rectified,
    placements: found.placements,
    stages: (found.stages ?? []).map(
      ({ rgb, ...stage }): StagePicture => ({
        ...stage,
        pixels: rgb,
        imageFromPanel: scaledTo(stage, rectified),
      }),
    ),
  };
}

function rectifiedPicture({
  widthPx,
  heightPx,
  pxPerMm,
  originMm: [x, y],
  grey,
}: RubbingResult['rectified']): PanelPicture {
  // originMm is the centre of the first pixel, half a pixel from the picture's corner
  const shift = [0.5 - x * pxPerMm, 0.5 - y * pxPerMm] as const;
  return {
    widthPx,
    heightPx,
    pixels: grey,
    imageFromPanel: [pxPerMm, 0, shift[0], 0, pxPerMm, shift[1], 0, 0, 1],
  };
}

/** A stage shows what the flattened picture shows, in another size. */
function scaledTo(
  stage: { widthPx: number; heightPx: number },
  { widthPx, heightPx, imageFromPanel }: PanelPicture,
): number[] {
  const scale = [stage.widthPx / widthPx, stage.heightPx / heightPx, 1];
  return imageFromPanel.map((value, i) => value * scale[Math.floor(i / 3)]!);
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
