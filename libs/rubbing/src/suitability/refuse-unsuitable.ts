/** Pictures that are no rubbing, refused with what they look like and what to do. */
import { RubbingError } from '../rubbing-error.js';
import type { PaneFigures } from './pane-figures.js';
import type { SheetFigures } from './sheet-figures.js';

/** Rubbings measured: 0.05 at most. Pictures of people, places and coloured glass: 0.55 and more. */
const MOST_COLOUR_SPREAD = 0.25;
/** Rubbings measured, in deep shadow too: 0.35 at most. Other pictures: 0.45 and more. */
const MOST_BRIGHTNESS_STEP = 0.42;
/** So many bright fields within black: glass in its leads against the light. */
const LEAST_PANES = 8;
const LEAST_BLACK_SHARE = 0.06;
/** A rubbing covers at least a twentieth of its sheet; this is dust. */
const LEAST_INK_SHARE = 0.004;
/** Length-weighted certainty of all leads; rubbings measured: 0.98 and more. */
const LEAST_CERTAINTY = 0.8;

/**
 * @param panes looked at only where there is no even paper
 * @throws RubbingError 'panel-photograph', 'no-rubbing', 'no-leads', 'too-blurred'
 */
export function refuseUnsuitable(f: SheetFigures, panes: () => PaneFigures): void {
  const isPaper = f.colourSpread <= MOST_COLOUR_SPREAD && f.brightnessStep <= MOST_BRIGHTNESS_STEP;
  const seen = isPaper ? { panes: 0, blackShare: 0 } : panes();
  if (seen.panes >= LEAST_PANES && seen.blackShare >= LEAST_BLACK_SHARE) {
    throw new RubbingError(
      'panel-photograph',
      `This looks like a photograph of the panel against the light (${seen.panes} bright fields between black lines), not like a rubbing. Lay it on the panel as a picture, and take the drawing from a rubbing.`,
      { panes: seen.panes, blackShare: seen.blackShare },
    );
  }
  if (f.colourSpread > MOST_COLOUR_SPREAD) throw noPaper(f);
  if (f.inkShare < LEAST_INK_SHARE) {
    throw new RubbingError(
      'no-leads',
      `No came was found on the sheet: only ${percent(f.inkShare)} of it is covered. Check that this is the rubbing and not its back or a blank sheet.`,
      { inkShare: f.inkShare },
    );
  }
  if (f.sharpness < LEAST_SHARPNESS) {
    throw new RubbingError(
      'too-blurred',
      `The picture is too blurred: edges of cames run over more than a millimetre (sharpness ${f.sharpness.toFixed(2)}, ${LEAST_SHARPNESS} is needed). Hold the camera still or put it on a stand, focus on the wax, and photograph again.`,
      { sharpness: f.sharpness, neededSharpness: LEAST_SHARPNESS },
    );
  }
  // blur darkens the lightest spots, so it is named first
  if (!isPaper) throw noPaper(f);
}

function noPaper(f: SheetFigures): RubbingError {
  return new RubbingError(
    'no-rubbing',
    `This does not look like a rubbing: between its lines there is no even paper (brightness changes by ${percent(f.brightnessStep)} within 24 mm, ${percent(MOST_BRIGHTNESS_STEP)} is the most a shadow makes). Check that the right picture was chosen and that only the sheet lies between the marks.`,
    { brightnessStep: f.brightnessStep, colourSpread: f.colourSpread },
  );
}

/** Rubbings measured: 0.5 and more; blurred by 0.8 mm, edges can no longer be measured to 0.3 mm. */
const LEAST_SHARPNESS = 0.25;

/** Thin strokes, but no drawing. */
export function refuseWriting(): never {
  throw new RubbingError(
    'no-rubbing',
    'Thin strokes were found that do not hang together, as on a page of writing: neither bands of wax nor a tracing of the leads. Check that the right picture was chosen.',
  );
}

/** Leads were drawn, but nothing in the picture bears them out. */
export function refuseUncertain(leads: readonly { lengthMm: number; confidenceP: number }[]): void {
  const total = leads.reduce((s, { lengthMm }) => s + lengthMm, 0);
  const sure = leads.reduce((s, { lengthMm, confidenceP }) => s + lengthMm * confidenceP, 0);
  const certainty = total > 0 ? sure / total : 0;
  if (certainty >= LEAST_CERTAINTY) return;
  throw new RubbingError(
    'no-rubbing',
    `This does not look like a rubbing: what could be leads is only ${percent(certainty)} certain over its length (${percent(LEAST_CERTAINTY)} is needed). Check that this is the rubbing, that the wax shows, and that the marks were tapped in their order.`,
    { certainty },
  );
}

const percent = (share: number): string => `${(100 * share).toFixed(share < 0.01 ? 1 : 0)} %`;
