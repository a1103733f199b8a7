/** What the look at a photograph is said to be: sentences for the person who still stands before the panel. */
import { sayRatio } from '../../platform/say-number.js';
import type { Job } from '../queue/picture.js';

export interface PictureFigures {
  readonly widthPx: number;
  readonly heightPx: number;
  /** 10 to 90 % width of the sharpest clear edges; null: too few edges to tell */
  readonly edgePx: number | null;
  readonly brightShare: number;
  readonly darkShare: number;
  /** from the printed target sheet; null where none is seen */
  readonly target: {
    readonly tags: number;
    readonly pxPerMm: number;
    readonly tiltDeg: number | null;
  } | null;
  /** what a picture of a rubbing needs to be measured */
  readonly neededPxPerMm: number;
}

export interface Said {
  /** one line each, what was found */
  readonly found: readonly string[];
  /** reasons to take it again while the panel has not moved */
  readonly again: readonly string[];
  /** why it cannot serve as what it was taken for; null: it can */
  readonly stop: string | null;
}

/** Edges as wide as this are soft on the screen, and from the second on blurred (common practice, no source). */
const SOFT_PX = 5;
const BLURRED_PX = 9;
/** The engine that reads rubbings refuses edges over more than a millimetre. */
const MOST_EDGE_MM = 1;
/** More than this burnt out loses what the light shows (common practice, no source). */
const MOST_BRIGHT = 0.02;
const MOST_DARK = 0.6;
const MOST_TILT_DEG = 20;

/** @param job what the picture was taken for */
export function sayPicture(figures: PictureFigures, job: Pick<Job, 'kind'>): Said {
  const found: string[] = [];
  const again: string[] = [];
  const isRubbing = job.kind === 'rubbing';
  let stop: string | null = null;
  const { edgePx, target, neededPxPerMm } = figures;

  if (edgePx === null) found.push('sharpness not told: too few edges');
  else {
    const word = edgePx > BLURRED_PX ? 'blurred' : edgePx > SOFT_PX ? 'soft' : 'sharp';
    found.push(`${word}: edges run over ${edgePx.toFixed(1)} px`);
    if (word === 'blurred')
      again.push('It is blurred. Steady the phone, tap to focus, and take it again.');
  }
  if (figures.brightShare > MOST_BRIGHT) {
    found.push(`${sayRatio(figures.brightShare)} burnt out`);
    again.push('Bright places are burnt out. Take it again darker.');
  } else if (figures.darkShare > MOST_DARK) {
    found.push(`${sayRatio(figures.darkShare)} quite black`);
    again.push('Most of it is black. Take it again lighter.');
  } else found.push('exposure holds');

  if (target === null) {
    found.push(
      isRubbing
        ? 'no target sheet seen: the scale must come from measured marks'
        : 'no target sheet seen: scale and tilt not told',
    );
    return { found, again, stop };
  }
  found.push(`${target.pxPerMm.toFixed(1)} px to the millimetre`);
  const { tiltDeg } = target;
  found.push(tiltDeg === null ? 'tilt not told' : `camera leans about ${Math.round(tiltDeg)}°`);
  if (tiltDeg !== null && tiltDeg > MOST_TILT_DEG)
    again.push('Hold the phone square over the panel.');
  if (target.pxPerMm < neededPxPerMm) {
    const numbers = `${target.pxPerMm.toFixed(1)} px to the millimetre; ${neededPxPerMm.toFixed(1)} are needed`;
    if (isRubbing)
      stop = `Too coarse for a rubbing: ${numbers}. Go nearer, or take the sheet in parts.`;
    else again.push(`Too coarse to measure narrow leads from: ${numbers}.`);
  }
  if (isRubbing && stop === null && edgePx !== null && edgePx / target.pxPerMm > MOST_EDGE_MM) {
    stop = `Too blurred for a rubbing: edges run over ${(edgePx / target.pxPerMm).toFixed(1)} mm; ${MOST_EDGE_MM} mm is the most. Steady the phone and take it again.`;
  }
  return { found, again, stop };
}
