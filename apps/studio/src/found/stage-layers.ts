import { apply, asHomography, invert } from '../drawing/homography.js';
import type { PairPlan } from '../drawing/pair-map.js';
import { type Box, boxOf } from '../drawing/plane.js';
import { staticPicture } from '../drawing/static-picture.js';
import type { Stage } from '../platform/api/stages.js';

/** Where the picture of a stage lies: in panel mm, or in its own px when that is not known. */
function stageBox({ imageFromPanel, widthPx, heightPx }: Stage): Box {
  if (imageFromPanel === null) return { minX: 0, minY: 0, maxX: widthPx, maxY: heightPx };
  const panelFromImage = invert(asHomography(imageFromPanel));
  return boxOf([apply(panelFromImage, 0, 0), apply(panelFromImage, widthPx, heightPx)]);
}

/** Two stages in one frame. */
export const stageLayers = (
  [first, second]: readonly [Stage, Stage],
  urlOf: (stage: Stage) => string,
): Omit<PairPlan, 'onView'> => ({
  box: stageBox(first),
  first: [staticPicture(urlOf(first), stageBox(first))],
  second: [staticPicture(urlOf(second), stageBox(second))],
  places: [],
});
