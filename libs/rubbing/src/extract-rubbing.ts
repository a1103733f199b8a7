/** A rubbing's picture in, a lead net's sketch out. */
import type { DoubtfulPlace, FlattenReport, NetSketch, SketchLead, XyMm } from '#libs/net';
import { type Draft, lineOf } from './draft.js';
import { fitDraft } from './fit-draft.js';
import { flatten } from './flatten.js';
import { greyOf } from './grey-image.js';
import { confidenceP, doubtsOf, leadFeatures } from './lead-confidence.js';
import { leadEvidence } from './lead-evidence.js';
import { unexplainedPlaces } from './missing-leads.js';
import { withoutCrossings } from './planarity.js';
import { type RectifiedSheet, rectify } from './rectify.js';
import { regions } from './regions.js';
import { RubbingError } from './rubbing-error.js';
import type { RubbingOptions, RubbingSheet } from './sheet.js';
import { waxDensity } from './wax-density.js';

export interface RubbingResult {
  readonly sketch: NetSketch;
  readonly flatten: FlattenReport;
  /** `leadId` is always null here: leads get their ids when the net is built. */
  readonly doubtfulPlaces: readonly DoubtfulPlace[];
  /** The sheet seen square-on in the frame of the sketch, for laying under the drawing. */
  readonly rectified: {
    readonly widthPx: number;
    readonly heightPx: number;
    readonly pxPerMm: number;
    /** Panel place of the centre of pixel (0, 0). */
    readonly originMm: readonly [number, number];
    readonly grey: Uint8Array;
  };
}

/** A panel has at least this much lead and one piece of glass. */
const MIN_LEAD_LENGTH_MM = 60;

/**
 * Reads the lead net off one sheet. Same input, same answer to the last bit on one machine type; about a second of work
 * per 4 MP of rectified sheet. The net is not yet numbered or checked: hand `sketch` to `buildNet`.
 * @throws RubbingError with a fault and a sentence on what to do
 */
export function extractRubbing(
  sheet: RubbingSheet,
  options: RubbingOptions = {},
  onProgress: (stage: string, ratio: number) => void = () => undefined,
): RubbingResult {
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
  onProgress('flatten', 0);
  const grey = greyOf(image);
  const flattening = flatten(sheet, grey);
  const flat = rectify(grey, flattening);
  onProgress('separate', 0.15);
  const density = { density: waxDensity(flat), pxPerMm: flat.pxPerMm, originMm: flat.originMm };
  const evidence = leadEvidence(density.density, flat.pxPerMm, flat.originMm);
  onProgress('regions', 0.5);
  const found = regions(evidence);
  if (found.count < 2) throw noLeads();
  onProgress('net', 0.6);
  const fitted = fitDraft(found, evidence, density);
  onProgress('check', 0.9);
  const features = new Map(
    leadFeatures(fitted.draft, evidence, density).map((f, i) => [fitted.draft.leads[i]!, f]),
  );
  const certain = new Map(
    fitted.draft.leads.map((lead) => [
      `${lead.left},${lead.right}`,
      confidenceP(features.get(lead)!),
    ]),
  );
  const draft = withoutCrossings(
    fitted.draft,
    (lead) => certain.get(`${lead.left},${lead.right}`) ?? 0,
  );
  const spread = new Map(
    fitted.draft.leads.map((lead, i) => [
      `${lead.left},${lead.right}`,
      fitted.widthSpreadMm[i] ?? 0,
    ]),
  );
  const finalFeatures = leadFeatures(draft, evidence, density);
  const leads = draft.leads.map((lead, i): SketchLead => {
    const f = finalFeatures[i]!;
    const p = confidenceP(f);
    const widthSpreadMm = spread.get(`${lead.left},${lead.right}`) ?? 0;
    const isOuter = lead.left === found.outside || lead.right === found.outside;
    return {
      from: lead.from,
      to: lead.to,
      kind: isOuter ? 'outer' : 'came',
      lineMm: pairs(lineOf(draft, lead)),
      faceWidthMm: lead.faceWidthMm,
      widthSpreadMm,
      confidenceP: p,
      doubts: doubtsOf(f, widthSpreadMm, p),
    };
  });
  const total = finalFeatures.reduce((s, f) => s + f.lengthMm, 0);
  if (leads.length === 0 || total < MIN_LEAD_LENGTH_MM) throw noLeads();
  const sketch: NetSketch = {
    nodes: pairs(draft.xy.subarray(0, 2 * draft.nodeCount)).map((xyMm) => ({ xyMm })),
    leads,
  };
  const places = unexplainedPlaces(draft, evidence, 8);
  onProgress('done', 1);
  return placed(
    sheet,
    options,
    { sketch, flatten: flattening.report, doubtfulPlaces: places },
    flat,
    draft,
  );
}

function noLeads(): RubbingError {
  return new RubbingError(
    'no-leads',
    'No came was found on the sheet: check that this is the rubbing, that the marks were tapped in their order, and that the wax shows in the picture.',
  );
}

/** Into the panel's inside frame: mirrored when the outside was rubbed; origin at the corner for a scale bar. */
function placed(
  sheet: RubbingSheet,
  options: RubbingOptions,
  found: { sketch: NetSketch; flatten: FlattenReport; doubtfulPlaces: readonly DoubtfulPlace[] },
  flat: RectifiedSheet,
  draft: Draft,
): RubbingResult {
  let minX = Infinity;
  let maxX = -Infinity;
  let minY = Infinity;
  for (const lead of draft.leads) {
    const line = lineOf(draft, lead);
    const half = lead.faceWidthMm / 2;
    for (let k = 0; k < line.length; k += 2) {
      minX = Math.min(minX, line[k]! - half);
      maxX = Math.max(maxX, line[k]! + half);
      minY = Math.min(minY, line[k + 1]! - half);
    }
  }
  const shift: XyMm = sheet.control.kind === 'scale_bar' ? [-minX, -minY] : [0, 0];
  const mirror = options.face === 'outside';
  const place = ([x, y]: XyMm): XyMm => [(mirror ? minX + maxX - x : x) + shift[0], y + shift[1]];
  const grey = mirror ? mirrored(flat) : flat.data;
  const leftMm = mirror
    ? minX + maxX - (flat.originMm[0] + (flat.width - 1) / flat.pxPerMm)
    : flat.originMm[0];
  return {
    sketch: {
      nodes: found.sketch.nodes.map(({ xyMm }) => ({ xyMm: place(xyMm) })),
      leads: found.sketch.leads.map((lead) => ({ ...lead, lineMm: lead.lineMm.map(place) })),
    },
    flatten: found.flatten,
    doubtfulPlaces: found.doubtfulPlaces.map((d) => ({ ...d, xyMm: place(d.xyMm) })),
    rectified: {
      widthPx: flat.width,
      heightPx: flat.height,
      pxPerMm: flat.pxPerMm,
      originMm: [leftMm + shift[0], flat.originMm[1] + shift[1]],
      grey,
    },
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

function pairs(flat: Float64Array): XyMm[] {
  const out: XyMm[] = [];
  for (let k = 0; k + 1 < flat.length; k += 2) out.push([flat[k]!, flat[k + 1]!]);
  return out;
}
