/** What each stage did and what to look for, with the figures of the run. */
import { type DoubtReason, polylineLengthMm, type SketchLead } from '#libs/net';
import type { DrawnLeads } from '../draw-leads.js';
import type { LeadEvidence } from '../lead-evidence.js';
import type { Rgb } from './canvas.js';
import type { StageInput } from './stage-input.js';

/** Faces up to `toMm` are drawn in this colour. */
export const WIDTH_COLOURS: readonly { toMm: number; name: string; rgb: Rgb }[] = [
  { toMm: 4.5, name: 'blue', rgb: [74, 121, 168] },
  { toMm: 5.5, name: 'teal', rgb: [48, 140, 134] },
  { toMm: 7, name: 'green', rgb: [104, 142, 62] },
  { toMm: 9, name: 'amber', rgb: [214, 160, 40] },
  { toMm: 11, name: 'orange', rgb: [208, 110, 44] },
  { toMm: Infinity, name: 'brown', rgb: [124, 66, 40] },
];

export function widthColour(faceWidthMm: number): number {
  return WIDTH_COLOURS.findIndex(({ toMm }) => faceWidthMm <= toMm);
}

const mm = (value: number, digits = 0): string => value.toFixed(digits);
const percent = (share: number): string => `${(100 * share).toFixed(0)} %`;
const count = (n: number, one: string, many = `${one}s`): string =>
  n === 1 ? `one ${one}` : `${n} ${many}`;

export function flattenedCaption({ read, one }: StageInput): string {
  const { width, height } = one.density;
  const size = `${mm(width / one.pxPerMm)} × ${mm(height / one.pxPerMm)} mm`;
  const scale = Math.min(...read.map(({ flattening }) => flattening.imagePxPerMm)).toFixed(1);
  const { marks, rmsMm, worstMark } = one.flatten;
  const worst = marks.find(({ name }) => name === worstMark);
  const fit =
    marks.length === 0
      ? 'The scale is the scanner’s own.'
      : worst === undefined
        ? `${count(marks.length, 'mark')} (ringed), none to spare: nothing is left over to check them with.`
        : `${count(marks.length, 'mark')} (ringed) agree within ${mm(rmsMm, 2)} mm; ${worst.name} is farthest off, by ${mm(worst.residualMm, 2)} mm.`;
  const sheets =
    read.length === 1
      ? 'The picture was turned until the sheet lies square-on'
      : `${read.length} pictures were turned square-on and laid together (their edges are drawn)`;
  const pale = read.some(({ tone }) => tone === 'light-on-dark')
    ? ' Light wax on dark paper is shown dark on light.'
    : '';
  return `${sheets}: ${size}, at least ${scale} pixels to the millimetre. ${fit}${pale} Look whether straight outer leads are straight here and each ring sits on its mark.`;
}

export function waxCaption({ read, one }: StageInput): string {
  let covered = 0;
  for (const d of one.density.data) if (d > 0.15) covered++;
  const share = percent(covered / one.density.data.length);
  const tracing = read.find((sheet) => sheet.tracing !== null)?.tracing;
  if (tracing) {
    return tracing.lines === 'edges'
      ? 'A tracing in pen: the came was filled in between its two traced edges. Look for a came that stayed empty, or glass that was filled.'
      : `A tracing in pen along the middles of the leads: each line was drawn again as a band of ${mm(tracing.assumedWidthMm ?? 0, 1)} mm. Widths were not seen. Look for lines that are missing.`;
  }
  return `Shadows, folds and the tone of the paper were taken out, so that only wax is left: it covers ${share} of the sheet. Look for leads that are nearly bare here; they are the hard ones.`;
}

export function mapCaption(evidence: LeadEvidence): string {
  const { data } = evidence.face;
  let sure = 0;
  for (const p of data) if (p < 0.1 || p > 0.9) sure++;
  return `How likely a came’s face lies on each half millimetre, judged with 80 mm round it: amber for a face, dark for its middle, grey for outside the panel. The answer is clear for ${percent(sure / data.length)} of the places. Look for amber that pales or breaks off.`;
}

export function regionsCaption({ regions }: DrawnLeads): string {
  const pieces = regions.count - 1;
  return `The glass was divided along the middles of the cames into ${count(pieces, 'region')}, each in its own colour; outside is grey. Look for two colours within one piece of glass, or one colour across a lead.`;
}

export function linesCaption({ sketch }: DrawnLeads): string {
  return `${count(sketch.leads.length, 'lead')}, ${mm(totalMm(sketch.leads) / 1000, 2)} m in all, fitted to the wax’s own edges and joined in ${count(sketch.nodes.length, 'place')} (amber spots). Look at the spots: do leads meet where they meet on the panel?`;
}

export function leadsCaption({ sketch }: DrawnLeads): string {
  const lengths = WIDTH_COLOURS.map(() => 0);
  for (const lead of sketch.leads) lengths[widthColour(lead.faceWidthMm)]! += lengthMm(lead);
  const parts = WIDTH_COLOURS.flatMap(({ name, toMm }, i) => {
    if (lengths[i]! < 1) return [];
    const range =
      i === 0
        ? `up to ${toMm}`
        : toMm === Infinity
          ? `over ${WIDTH_COLOURS[i - 1]!.toMm}`
          : `${WIDTH_COLOURS[i - 1]!.toMm} to ${toMm}`;
    return [`${name} ${range} mm (${mm(lengths[i]! / 1000, 2)} m)`];
  });
  return `Each lead at the face width measured in the wax: ${parts.join(', ')}. Look for one lead that changes its colour along a straight run.`;
}

const REASONS: Readonly<Record<DoubtReason, string>> = {
  'gap-bridged': 'a gap in the wax was bridged',
  'weak-wax': 'the wax is weak',
  'width-uneven': 'the width is uneven',
  'runs-disagree': 'two readings differ',
  'junction-unclear': 'the junction is unclear',
  'may-be-missing': 'a lead may be missing',
};

export function doubtsCaption({ sketch, doubtfulPlaces }: DrawnLeads): string {
  const doubtful = sketch.leads.filter((lead) => lead.doubts.length > 0);
  if (doubtful.length === 0 && doubtfulPlaces.length === 0) {
    return `Nothing is doubtful: every one of ${sketch.leads.length} leads is at least 95 % sure. Look it over all the same before it is signed.`;
  }
  const why = (Object.keys(REASONS) as DoubtReason[]).flatMap((reason) => {
    const n =
      doubtful.filter((lead) => lead.doubts.includes(reason)).length +
      doubtfulPlaces.filter((place) => place.reason === reason).length;
    return n === 0 ? [] : [`${REASONS[reason]} (${n})`];
  });
  return `${count(doubtful.length, 'lead')} of ${sketch.leads.length} (red) and ${count(doubtfulPlaces.length, 'place')} (amber rings) should be looked at before the drawing is signed: ${why.join(', ')}.`;
}

function totalMm(leads: readonly SketchLead[]): number {
  return leads.reduce((sum, lead) => sum + lengthMm(lead), 0);
}

function lengthMm({ lineMm }: SketchLead): number {
  return polylineLengthMm(lineMm);
}
