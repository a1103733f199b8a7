/** Places of all sheets of one panel in one frame: measured frames are kept, free ones found in the overlap. */
import { RubbingError } from '../rubbing-error.js';
import { fitOverlap, type OverlapFit } from './overlap-fit.js';
import { middleMm, overlapGuesses } from './overlap-search.js';
import { after, angleOf, moved, type Rigid, STILL } from './rigid.js';
import { type WaxPicture, type WaxSheet, waxPicture } from './wax-picture.js';

export interface SheetToPlace {
  readonly wax: WaxSheet;
  /** Its frame was measured on the panel, so it is the frame of every other such sheet. */
  readonly isMeasuredFrame: boolean;
}

/** How a sheet was joined to one placed before it. Sheets count from 1. */
export interface SheetJoin {
  readonly toSheet: number;
  /** By the marks' measured places alone; otherwise by the wax in the overlap. */
  readonly by: 'wax' | 'marks';
  /** Where the wax moved the sheet from where its marks put it (measured frames), or its turn (free ones). */
  readonly movedMm: number;
  readonly turnedDeg: number;
  readonly overlapMm2: number;
  readonly correlation: number;
  readonly patches: number;
  /** Median and largest disagreement of the wax in the overlap, mm; 0 where none could be compared. */
  readonly medianMm: number;
  readonly worstMm: number;
}

export interface PlacedSheet {
  /** The sheet's own frame → frame of the base sheet. */
  readonly place: Rigid;
  /** Null for the base sheet. */
  readonly join: SheetJoin | null;
}

const MIN_OVERLAP_MM2 = 4000;
/** Wax of one lead rubbed twice agrees better than this; of other leads, worse. */
const MIN_CORRELATION = 0.45;
/** The second-best place must be worse by this: a quarry panel fits itself in many places nearly. */
const MIN_LEAD_OVER_SECOND = 0.06;
const MAX_MEDIAN_MM = 1;
/** Measured marks of two sheets disagree by no more than this. */
const MAX_MARKS_APART_MM = 3;

const QUARTER = Math.PI / 2;
const fan = (middle: number): number[] =>
  Array.from({ length: 13 }, (_, i) => middle + ((i - 6) * Math.PI) / 180);
const UPRIGHT = fan(0);
const TURNED = [QUARTER, -QUARTER, Math.PI].flatMap(fan);

/** @throws RubbingError 'sheets-apart', 'sheets-disagree', 'sheets-ambiguous' with the figures */
export function placeSheets(sheets: readonly SheetToPlace[]): PlacedSheet[] {
  const pictures = sheets.map(({ wax }) => waxPicture(wax));
  const placed: (PlacedSheet | undefined)[] = sheets.map(() => undefined);
  placed[baseSheet(sheets)] = { place: STILL, join: null };
  let missing = sheets.length - 1;
  while (missing > 0) {
    let refusal: RubbingError | undefined;
    let progress = false;
    for (let b = 0; b < sheets.length; b++) {
      if (placed[b] !== undefined) continue;
      // neighbours in the order of the sheets are the likeliest
      const order = sheets
        .map((_, a) => a)
        .filter((a) => placed[a] !== undefined)
        .sort((p, q) => Math.abs(p - b) - Math.abs(q - b));
      for (const a of order) {
        const result = joinPair(sheets, pictures, a, b);
        if (result instanceof RubbingError) {
          refusal = moreTelling(refusal, result);
          continue;
        }
        placed[b] = {
          place: after(placed[a]!.place, result.place),
          join: result.join,
        };
        missing--;
        progress = true;
        break;
      }
    }
    if (!progress) throw refusal!;
  }
  return placed.map((p) => p!);
}

/** The sheet whose frame the others are brought into: the first measured one, or the first. */
export function baseSheet(sheets: readonly Pick<SheetToPlace, 'isMeasuredFrame'>[]): number {
  return Math.max(
    0,
    sheets.findIndex((sheet) => sheet.isMeasuredFrame),
  );
}

/** A near miss tells more than no overlap at all. */
function moreTelling(a: RubbingError | undefined, b: RubbingError): RubbingError {
  return a === undefined || a.fault === 'sheets-apart' ? b : a;
}

function joinPair(
  sheets: readonly SheetToPlace[],
  pictures: readonly WaxPicture[],
  a: number,
  b: number,
): { place: Rigid; join: SheetJoin } | RubbingError {
  const pa = pictures[a]!;
  const pb = pictures[b]!;
  if (sheets[a]!.isMeasuredFrame && sheets[b]!.isMeasuredFrame) {
    const fit = fitOverlap(pa, pb, STILL);
    if (fit === undefined || fit.correlation < MIN_CORRELATION) {
      return { place: STILL, join: joinOf(a, 'marks', STILL, pb, fit) };
    }
    const { movedMm } = joinOf(a, 'wax', fit.place, pb, fit);
    if (movedMm > MAX_MARKS_APART_MM) {
      return new RubbingError(
        'sheets-disagree',
        `Sheets ${a + 1} and ${b + 1} show the same leads ${movedMm.toFixed(1)} mm apart by their marks: check the measured places of the marks on both.`,
        { firstSheet: a + 1, secondSheet: b + 1, apartMm: movedMm },
      );
    }
    return { place: fit.place, join: joinOf(a, 'wax', fit.place, pb, fit) };
  }
  const fits = fitsOf(pa, pb, UPRIGHT);
  if ((fits[0]?.correlation ?? 0) < MIN_CORRELATION) {
    fits.push(...fitsOf(pa, pb, TURNED));
    fits.sort((p, q) => q.correlation - p.correlation);
  }
  const [best, second] = fits;
  if (best === undefined || best.correlation < MIN_CORRELATION) {
    return new RubbingError(
      'sheets-apart',
      `No place was found where sheets ${a + 1} and ${b + 1} show the same leads (best agreement ${(best?.correlation ?? 0).toFixed(2)}, ${MIN_CORRELATION} is needed): they must overlap by at least ${Math.sqrt(MIN_OVERLAP_MM2).toFixed(0)} × ${Math.sqrt(MIN_OVERLAP_MM2).toFixed(0)} mm of the panel. Check that both belong to it, or mark the same measured points on both.`,
      { firstSheet: a + 1, secondSheet: b + 1, agreement: best?.correlation ?? 0 },
    );
  }
  if (best.medianMm > MAX_MEDIAN_MM) {
    return new RubbingError(
      'sheets-disagree',
      `Where sheets ${a + 1} and ${b + 1} overlap their leads lie ${best.medianMm.toFixed(1)} mm apart (${MAX_MEDIAN_MM} mm is allowed): check the lengths measured on both sheets.`,
      { firstSheet: a + 1, secondSheet: b + 1, apartMm: best.medianMm },
    );
  }
  if (second !== undefined && best.correlation - second.correlation < MIN_LEAD_OVER_SECOND) {
    return new RubbingError(
      'sheets-ambiguous',
      `Sheets ${a + 1} and ${b + 1} fit together in more than one way (agreement ${best.correlation.toFixed(2)} and ${second.correlation.toFixed(2)}): let them overlap more, or mark the same measured points on both.`,
      {
        firstSheet: a + 1,
        secondSheet: b + 1,
        best: best.correlation,
        second: second.correlation,
      },
    );
  }
  return { place: best.place, join: joinOf(a, 'wax', best.place, pb, best) };
}

/** Every guess made exact, best first; guesses that ran to one place counted once. */
function fitsOf(a: WaxPicture, b: WaxPicture, turns: readonly number[]): OverlapFit[] {
  const [mx, my] = middleMm(b);
  const out: OverlapFit[] = [];
  for (const { place } of overlapGuesses(a, b, turns, MIN_OVERLAP_MM2)) {
    const fit = fitOverlap(a, b, place);
    if (fit === undefined || fit.overlapMm2 < MIN_OVERLAP_MM2) continue;
    const [x, y] = moved(fit.place, mx, my);
    const isKnown = out.some((other) => {
      const [ox, oy] = moved(other.place, mx, my);
      return Math.hypot(x - ox, y - oy) < 5;
    });
    if (!isKnown) out.push(fit);
  }
  return out.sort((p, q) => q.correlation - p.correlation);
}

function joinOf(
  a: number,
  by: SheetJoin['by'],
  place: Rigid,
  b: WaxPicture,
  fit: OverlapFit | undefined,
): SheetJoin {
  const [mx, my] = middleMm(b);
  const [x, y] = moved(place, mx, my);
  return {
    toSheet: a + 1,
    by,
    movedMm: Math.hypot(x - mx, y - my),
    turnedDeg: (angleOf(place) * 180) / Math.PI,
    overlapMm2: fit?.overlapMm2 ?? 0,
    correlation: fit?.correlation ?? 0,
    patches: fit?.patches ?? 0,
    medianMm: fit?.medianMm ?? 0,
    worstMm: fit?.worstMm ?? 0,
  };
}
