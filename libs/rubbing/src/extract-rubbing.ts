/** Pictures of a rubbing in, a lead net's sketch out. */
import type { DoubtfulPlace, FlattenReport, NetSketch } from '#libs/net';
import { drawLeads } from './draw-leads.js';
import { type Flattening, flatten } from './flatten.js';
import { greyOf } from './grey-image.js';
import { leadEvidence } from './lead-evidence.js';
import { onPanel, type PanelFrame, panelFrame } from './panel-frame.js';
import { type RectifiedSheet, rectify } from './rectify.js';
import { RubbingError } from './rubbing-error.js';
import type { RubbingOptions, RubbingSheet } from './sheet.js';
import { type SheetPlacement, sheetPlacement } from './sheet-placement.js';
import type { RubbingStage } from './stages/rubbing-stage.js';
import { waxDensity } from './wax-density.js';

export interface RubbingResult {
  readonly sketch: NetSketch;
  readonly flatten: FlattenReport;
  /** `leadId` is always null here: leads get their ids when the net is built. */
  readonly doubtfulPlaces: readonly DoubtfulPlace[];
  /** The sheets seen square-on in the frame of the sketch, for laying under the drawing. */
  readonly rectified: {
    readonly widthPx: number;
    readonly heightPx: number;
    readonly pxPerMm: number;
    /** Panel place of the centre of pixel (0, 0). */
    readonly originMm: readonly [number, number];
    readonly grey: Uint8Array;
  };
  /** How each picture lies on the panel, in the order of the sheets. */
  readonly placements: readonly (SheetPlacement | null)[];
  /** How it was found, in order; only when it was asked for. */
  readonly stages?: readonly RubbingStage[];
}

/**
 * Reads the lead net off the sheets of one rubbing. Same input, same answer to the last bit on one machine type; about
 * a second of work per 4 MP of rectified sheet. The net is not yet numbered or checked: hand `sketch` to `buildNet`.
 * @throws RubbingError with a fault and a sentence on what to do
 */
export function extractRubbing(
  sheets: readonly RubbingSheet[],
  options: RubbingOptions = {},
  onProgress: (stage: string, ratio: number) => void = () => undefined,
): RubbingResult {
  const [sheet] = sheets;
  if (sheet === undefined || sheets.length > 1) {
    throw new RubbingError(
      'sheets-unsupported',
      `One picture is read at a time; ${sheets.length} came.`,
      { sheets: sheets.length },
    );
  }
  onProgress('flatten', 0);
  const { flattening, flat } = flatSheet(sheet);
  onProgress('separate', 0.15);
  const density = { density: waxDensity(flat), pxPerMm: flat.pxPerMm, originMm: flat.originMm };
  const evidence = leadEvidence(density.density, flat.pxPerMm, flat.originMm);
  const read = drawLeads(evidence, density, (stage, ratio) => onProgress(stage, 0.5 + ratio / 2));
  onProgress('done', 1);
  const frame = panelFrame(read.draft, sheet.control, options.face ?? 'inside');
  return {
    sketch: {
      nodes: read.sketch.nodes.map(({ xyMm }) => ({ xyMm: onPanel(frame, xyMm) })),
      leads: read.sketch.leads.map((lead) => ({
        ...lead,
        lineMm: lead.lineMm.map((xy) => onPanel(frame, xy)),
      })),
    },
    flatten: flattening.report,
    doubtfulPlaces: read.doubtfulPlaces.map((d) => ({ ...d, xyMm: onPanel(frame, d.xyMm) })),
    rectified: rectifiedOnPanel(flat, frame),
    placements: [sheetPlacement(flattening, frame)],
  };
}

function flatSheet(sheet: RubbingSheet): { flattening: Flattening; flat: RectifiedSheet } {
  const { image } = sheet;
  if (image.widthPx < 200 || image.heightPx < 200) {
    throw new RubbingError(
      'image-too-small',
      `The picture is ${image.widthPx} × ${image.heightPx} pixels: a rubbing needs at least 200 each way. Upload the original, not a preview.`,
      { widthPx: image.widthPx, heightPx: image.heightPx },
    );
  }
  if (image.rgb.length !== image.widthPx * image.heightPx * 3) {
    throw new Error(
      `expected ${image.widthPx * image.heightPx * 3} bytes of RGB, got ${image.rgb.length}`,
    );
  }
  const grey = greyOf(image);
  const flattening = flatten(sheet, grey);
  return { flattening, flat: rectify(grey, flattening) };
}

function rectifiedOnPanel(flat: RectifiedSheet, frame: PanelFrame): RubbingResult['rectified'] {
  const { width, height, pxPerMm, originMm } = flat;
  // the pixel that comes to lie at the left
  const leftMm = frame.isMirrored ? originMm[0] + (width - 1) / pxPerMm : originMm[0];
  return {
    widthPx: width,
    heightPx: height,
    pxPerMm,
    originMm: onPanel(frame, [leftMm, originMm[1]]),
    grey: frame.isMirrored ? mirrored(flat) : flat.data,
  };
}

function mirrored(flat: RectifiedSheet): Uint8Array {
  const out = new Uint8Array(flat.data.length);
  for (let y = 0; y < flat.height; y++) {
    const row = y * flat.width;
    for (let x = 0; x < flat.width; x++) out[row + x] = flat.data[row + flat.width - 1 - x]!;
  }
  return out;
}
