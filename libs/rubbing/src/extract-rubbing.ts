/** Pictures of a rubbing in, a lead net's sketch out. */
import {
  type DoubtfulPlace,
  type FlattenReport,
  type NetSketch,
  polylineLengthMm,
} from '#libs/net';
import { drawLeads } from './draw-leads.js';
import { withAssumedWidths, withInkNotes } from './ink/assumed-widths.js';
import { leadEvidence } from './lead-evidence.js';
import { onPanel, type PanelFrame, panelFrame } from './panel-frame.js';
import { readSheet } from './read-sheet.js';
import type { RubbingOptions, RubbingSheet } from './sheet.js';
import { type SheetPlacement, sheetPlacement } from './sheet-placement.js';
import { joinReadSheets, type OneSheet } from './sheets/join-read-sheets.js';
import type { SheetReport } from './sheets/joined-report.js';
import { inverseOf, matrixOf } from './sheets/rigid.js';
import type { RubbingStage } from './stages/rubbing-stage.js';
import { stagePictures } from './stages/stage-pictures.js';
import { refuseUncertain } from './suitability/refuse-unsuitable.js';

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
  /** In the order of the sheets. */
  readonly sheets: readonly SheetReport[];
  /** How each picture lies on the panel, in the order of the sheets. */
  readonly placements: readonly (SheetPlacement | null)[];
  /** How it was found, in order; only when it was asked for. */
  readonly stages?: readonly RubbingStage[];
}

/**
 * Reads the lead net off the sheets of one rubbing. Same input, same answer to the last bit on one machine type; about
 * a second of work per 4 MP of rectified sheet. The net is not yet numbered or checked: hand `sketch` to `buildNet`.
 * @param sheets one or more that overlap; those with marks at measured places share the panel's frame, the others are
 * found by their wax in the overlap
 * @throws RubbingError with a fault and a sentence on what to do
 */
export function extractRubbing(
  sheets: readonly RubbingSheet[],
  options: RubbingOptions = {},
  onProgress: (stage: string, ratio: number) => void = () => undefined,
): RubbingResult {
  if (sheets.length === 0) throw new Error('a rubbing needs at least one sheet');
  const read = sheets.map((sheet, i) => {
    onProgress('flatten', (0.15 * i) / sheets.length);
    return readSheet(sheet, options, sheets.length > 1);
  });
  onProgress('separate', 0.15);
  const one = joinReadSheets(sheets, read);
  const evidence = leadEvidence(one.density, one.pxPerMm, one.originMm);
  const leads = drawLeads(evidence, one, (stage, ratio) => {
    onProgress(stage, 0.5 + ratio / 2);
  });
  refuseUncertain(
    leads.sketch.leads.map(({ lineMm, confidenceP }) => ({
      lengthMm: polylineLengthMm(lineMm),
      confidenceP,
    })),
  );
  const drawn = withAssumedWidths(leads, read);
  const frame = panelFrame(drawn.draft, sheets[one.base]!.control, options.face ?? 'inside');
  const stages = options.explain
    ? stagePictures({ read, one, evidence, drawn, isMirrored: frame.isMirrored })
    : undefined;
  onProgress('done', 1);
  return {
    sketch: {
      nodes: drawn.sketch.nodes.map(({ xyMm }) => ({ xyMm: onPanel(frame, xyMm) })),
      leads: drawn.sketch.leads.map((lead) => ({
        ...lead,
        lineMm: lead.lineMm.map((xy) => onPanel(frame, xy)),
      })),
    },
    flatten: withInkNotes(one.flatten, read),
    doubtfulPlaces: drawn.doubtfulPlaces.map((d) => ({ ...d, xyMm: onPanel(frame, d.xyMm) })),
    rectified: rectifiedOnPanel(one, frame),
    sheets: read.map(({ flattening }, i) => ({
      flatten: flattening.report,
      join: one.placed[i]!.join,
    })),
    placements: read.map(({ flattening }, i) =>
      sheetPlacement(flattening, frame, matrixOf(inverseOf(one.placed[i]!.place))),
    ),
    ...(stages === undefined ? {} : { stages }),
  };
}

function rectifiedOnPanel(one: OneSheet, frame: PanelFrame): RubbingResult['rectified'] {
  const { grey, pxPerMm, originMm } = one;
  const { width, height } = one.density;
  // the pixel that comes to lie at the left
  const leftMm = frame.isMirrored ? originMm[0] + (width - 1) / pxPerMm : originMm[0];
  return {
    widthPx: width,
    heightPx: height,
    pxPerMm,
    originMm: onPanel(frame, [leftMm, originMm[1]]),
    grey: frame.isMirrored ? mirrored(grey, width, height) : grey,
  };
}

function mirrored(grey: Uint8Array, width: number, height: number): Uint8Array {
  const out = new Uint8Array(grey.length);
  for (let y = 0; y < height; y++) {
    const row = y * width;
    for (let x = 0; x < width; x++) out[row + x] = grey[row + width - 1 - x]!;
  }
  return out;
}
